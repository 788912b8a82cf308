// The reading page: what was typed is held against the site's past at once, by
// the engine in this browser where there is no signal, and kept on this phone
// first.
"use strict";

// linesOf is what a form says, as lines of a log.
function linesOf(form) {
  const typed = (name) => form.elements[name]?.value.trim() || "";
  const scale = typed("scale"), scaled = /^[\d.,]+$/.test(scale) && scale !== "442" ? "scale " + scale : scale;
  const whole = (gauge, value, unit) => {
    const text = /^[\d., ]+$/.test(value) && unit ? value + " " + unit : value;
    return gauge + " = " + (text.endsWith("ppm") && scaled ? text + " " + scaled : text);
  };
  const minutes = typed("after"), after = minutes && `, after ${/^[\d., ]+$/.test(minutes) ? minutes + " min" : minutes}`;
  const lines = [];
  for (const [place, gauge] of [["raw", "feed_strength"], ["permeate", "permeate_strength"], ["polished", "polished_strength"]]) {
    if (typed(place + ".value")) lines.push(whole(gauge, typed(place + ".value"), typed(place + ".unit")) + (place === "raw" ? "" : after));
  }
  for (const box of form.querySelectorAll(".more input:not([type=hidden])")) {
    if (box.value.trim()) lines.push(whole(box.name.startsWith("gauge.") ? box.name.slice(6) : "feed_" + box.name, box.value.trim(), typed(box.name + ".unit")));
  }
  return lines;
}

// odd asks the engine what looks odd; where none answers soon, the little that
// is known here is said.
async function odd(form) {
  const now = new Date(), day = new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  const question = { ask: "odd", file: document.getElementById("file").value, read: linesOf(form), date: day, units: form.dataset.units, decimal: form.elements.decimal.value, language };
  let late;
  try {
    const got = await Promise.race([engine.ask(question), new Promise((_, no) => { late = setTimeout(no, 4000, new Error("late")); })]);
    if (got.why) throw new Error(got.why);
    form.dataset.by = got.by;
    return got.doubts || [];
  } catch (e) {
    return e?.message === "replaced" ? undefined : doubts(form);
  } finally {
    clearTimeout(late);
  }
}

// doubts are what looks odd among the strengths, where there is no engine yet.
function doubts(form) {
  const number = (place) => {
    const box = form.elements[place + ".value"];
    const comma = form.elements.decimal.value === "comma";
    const typed = (comma ? /^(\d+(?:,\d+)?)\s*(ppm|[uµ]S\/cm)?$/ : /^(\d+(?:\.\d+)?)\s*(ppm|[uµ]S\/cm)?$/).exec(box ? box.value.trim() : "");
    return typed ? { x: Number(typed[1].replace(",", ".")), unit: (typed[2] || form.elements[place + ".unit"].value).replace("µ", "u") } : undefined;
  };
  const raw = number("raw"), permeate = number("permeate"), polished = number("polished");
  const higher = (a, b) => a && b && a.unit === b.unit && a.x > b.x;
  const says = [];
  if (higher(permeate, raw)) says.push(said("Higher after the membrane than before: swapped?"));
  if (higher(polished, permeate) || !permeate && higher(polished, raw)) says.push(said("Higher after the resin than before: swapped, or the resin is used up?"));
  const before = /([\d.,]+)\s*(ppm|[uµ]S\/cm)/.exec(document.getElementById("raw-last")?.textContent || "");
  const last = before && Number(before[1].replace(",", "."));
  if (raw && last > 0 && raw.unit === before[2].replace("µ", "u") && (raw.x > 5 * last || raw.x < last / 5)) says.push(said("Far from last time: a unit or a digit off?"));
  return says.map((says) => ({ says }));
}

// tellDoubts puts what looks odd on the page, with a button where it is known
// what was meant.
function tellDoubts(all, own) {
  document.getElementById("doubts").replaceChildren(...all.map(({ says, button, instead }) => {
    const box = Object.assign(document.createElement("div"), { className: own ? "notice bad own" : "notice bad" });
    box.append(Object.assign(document.createElement("p"), { textContent: says }));
    if (button) {
      const press = Object.assign(document.createElement("button"), { type: "button", className: "second", textContent: button });
      press.dataset.instead = instead.join("|");
      box.append(press);
    }
    return box;
  }));
}

// takes puts a line of a log into its field.
function takes(form, line) {
  const [, gauge, number, unit] = /^(\S+) = ([\d.,]+)\s*([^\s,]*)/.exec(line) || [];
  const strength = { feed_strength: "raw", permeate_strength: "permeate", polished_strength: "polished" }[gauge];
  const name = strength ? strength + ".value" : [`gauge.${gauge}`, (gauge || "").replace("feed_", "")].find((name) => form.elements[name]);
  const box = form.elements[name], units = form.elements[strength ? strength + ".unit" : name + ".unit"];
  if (!box) return;
  const known = units && [...units.options].some((o) => o.value === unit);
  box.value = known || !unit ? number : number + " " + unit;
  if (known) units.value = unit;
}

for (const form of document.querySelectorAll("form.reading")) {
  const places = [...form.querySelectorAll("[data-place]")].map((box) => box.dataset.place);
  const result = document.getElementById("kept");
  // One press puts what was meant in place of what was typed.
  const about = document.getElementById("doubts");
  new MutationObserver(() => { for (const press of about.querySelectorAll("[data-instead][hidden]")) press.hidden = false; }).observe(about, { childList: true, subtree: true });
  for (const press of about.querySelectorAll("[data-instead]")) press.hidden = false;
  about.addEventListener("click", (e) => {
    if (!e.target.dataset.instead) return;
    for (const line of e.target.dataset.instead.split("|")) takes(form, line);
    e.target.closest(".notice").remove();
    form.dispatchEvent(new Event("input", { bubbles: true }));
  });
  // The key at the corner of a phone's keys goes on to the next number.
  form.addEventListener("keydown", (e) => {
    if (e.key !== "Enter" || e.target.tagName !== "INPUT") return;
    e.preventDefault();
    const boxes = [...form.querySelectorAll("input:not([type=hidden]):not([type=file]):not(.mins), button.full")].filter((box) => box.offsetParent);
    (boxes[boxes.indexOf(e.target) + 1] || form.querySelector("button.full")).focus();
  });
  form.addEventListener("keypress", (e) => { if (e.key === "Enter" && e.target.tagName === "INPUT") e.preventDefault(); });
  since(form);
  form.addEventListener("nosignal", async () => {
    const says = await odd(form);
    if (says) tellDoubts(says);
  });
  let sure = "", keeping = false;
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    if (keeping) return;
    keeping = true;
    try {
      await submitted();
    } finally {
      keeping = false;
    }
  });
  const submitted = async () => {
    const filled = places.some((p) => form.elements[p + ".value"].value.trim() || form.elements[p + ".skipped"].value) || [...form.querySelectorAll(".more .skipwhy select")].some((box) => box.value) ||
      form.elements.note.value.trim() || [...form.querySelectorAll(".more input")].some((box) => box.value.trim());
    const told = document.querySelectorAll("#doubts .notice:not(.own)").length > 0;
    let strange = told ? [] : await odd(form) || doubts(form);
    if (!filled) strange = [{ says: said("Nothing is typed yet. One number is enough.") }];
    const wrong = form.querySelector(".wrong .error:not(:empty)");
    if (wrong) {
      wrong.scrollIntoView({ block: "center" });
      return;
    }
    const typed = [...form.querySelectorAll("input:not([type=hidden]), select, textarea")].map((box) => box.value).join("\n");
    if ((told || strange.length > 0) && typed !== sure || !filled) {
      sure = typed; // pressed again with the same numbers, they are right
      if (strange.length > 0) tellDoubts(strange, true);
      form.querySelector("button.full").textContent = filled ? said("It is right, keep it") : said("Keep the reading");
      document.querySelector("#doubts .notice").scrollIntoView({ block: "center" });
      return;
    }
    let one;
    try {
      one = await keeper.keep(form.getAttribute("action"), form.dataset.name, new FormData(form), [...places, "rig"].map((p) => p + ".id"));
    } catch { // this browser keeps nothing: the office has to
      form.submit();
      return;
    }
    storage.ask();
    form.hidden = true;
    result.hidden = false;
    const show = async () => {
      const now = (await keeper.all()).find((x) => x.key === one.key) || one;
      document.getElementById("state").textContent = now.state === "sent" ? said("Sent") : now.state === "two versions" ? said("Two versions") : said("On this phone");
      document.getElementById("more").textContent = now.why || (now.state === "sent" ? said("It stands in the site's story.") : said("It is sent by itself when there is signal. You can close this page."));
    };
    document.addEventListener("readings", show);
    await count();
    await show();
    await send();
  };
}

// since counts the minutes since the rig started, until the first strength
// after the membrane is typed: the first minutes read high.
function since(form) {
  const box = document.getElementById("after"), starts = document.getElementById("starts");
  if (!box) return;
  const kept = "started " + form.getAttribute("action");
  const product = form.elements["permeate.value"];
  const says = document.getElementById("after-says"), words = says.textContent;
  let begun = Number(localStorage.getItem(kept)) || 0;
  if (Date.now() - begun > 6 * 36e5) begun = 0;
  starts.hidden = false;
  const tick = () => {
    if (!begun) return;
    const ran = Math.floor((Date.now() - begun) / 1000);
    says.textContent = said("running %s, %s", `${Math.floor(ran / 60)}:${String(ran % 60).padStart(2, "0")}`, words);
    starts.textContent = said("It starts anew");
    if (!product.value && !box.dataset.own) box.value = Math.floor(ran / 60);
  };
  starts.addEventListener("click", () => {
    begun = Date.now();
    localStorage.setItem(kept, begun);
    delete box.dataset.own;
    tick();
  });
  box.addEventListener("input", () => { box.dataset.own = "1"; });
  tick();
  setInterval(tick, 1000);
}
