// The survey without signal: what is typed is kept on this phone first, and the
// engine in this browser makes the water sheet that follows the typing.
"use strict";

(() => {
  const form = document.querySelector("form.survey");
  if (!form) return;
  const at = (id) => document.getElementById(id);
  const make = (name, words, kind) => Object.assign(document.createElement(name), { textContent: words || "", className: kind || "" });
  const row = (...cells) => {
    const line = document.createElement("tr");
    line.append(...cells);
    return line;
  };

  const to = form.getAttribute("action");
  const fields = () => [...form.querySelectorAll("input[name]:not([type=hidden]):not([type=checkbox]), select[name], textarea[name]:not([readonly])")];
  const first = (box) => box.tagName === "SELECT" ? [...box.options].find((o) => o.defaultSelected)?.value || "" : box.defaultValue;
  const touched = () => fields().filter((box) => box.value !== first(box));
  const removed = () => [...form.querySelectorAll("input[name=remove]:checked")].map((box) => box.value);

  // keep puts what differs from the page on this phone; nothing differs, nothing
  // is kept. Pressed says that it is to be sent.
  let typed = Promise.resolve(), at0 = 0, restoring = false;
  function keep(pressed) {
    if (restoring) return;
    const set = touched().map((box) => [box.name, box.value]), remove = removed();
    const one = { to, name: form.dataset.name, rev: form.elements.rev.value, decimal: form.elements.decimal.value, set, remove, at: at0 = Math.max(Date.now(), at0 + 1), pressed, state: "on this phone", why: "" };
    typed = typed.then(() => set.length || remove.length ? drafts.put(one) : drafts.drop(to)).then(count).catch(() => {});
    return typed;
  }
  const when = (at) => new Intl.DateTimeFormat(language, { dateStyle: "long", timeStyle: "short", hour12: false }).format(at);
  function tellDraft(words) {
    at("draft").hidden = false;
    at("drafted").textContent = words;
  }

  // restore puts back what was typed on this phone and not saved.
  async function restore() {
    const draft = await drafts.get(to);
    if (new URL(location.href).searchParams.has("saved") || draft && drafts.there(draft)) {
      if (draft && !drafts.there(draft)) await drafts.drop(to);
      return count();
    }
    if (!draft || touched().length) return; // a page that came back with its errors shows them
    let back = 0;
    for (const [name, value] of draft.set) {
      const box = form.elements[name];
      if (!box || box.value === value) continue;
      box.value = value;
      box.closest("details")?.setAttribute("open", "");
      back++;
    }
    for (const box of form.querySelectorAll("input[name=remove]")) box.checked = draft.remove.includes(box.value);
    if (back === 0 && draft.remove.length === 0) return;
    form.elements.rev.value = draft.rev;
    tellDraft(draft.pressed ? said("On this phone since %s. It is sent by itself when there is signal.", when(draft.at)) : said("On this phone since %s, and not saved yet.", when(draft.at)) + " " + (draft.why || ""));
    restoring = true; // the sheet follows, the draft stays as it is
    form.dispatchEvent(new Event("input"));
    restoring = false;
  }

  at("forget").addEventListener("click", async () => {
    await drafts.drop(to);
    location.reload();
  });

  // sheet asks the engine when the server does not answer.
  async function sheet() {
    const question = {
      ask: "sheet", file: at("file").value, units: form.dataset.units, decimal: form.elements.decimal.value, language,
      set: touched().map((box) => ({ key: box.name, says: box.value })), remove: removed().sort().reverse(),
    };
    try {
      const got = await engine.ask(question);
      show(got);
      const wrong = new Map((got.wrong || []).map((w) => [w.key, w.says]));
      for (const slot of form.querySelectorAll("[data-wrong]")) mark(slot, wrong.get(slot.dataset.wrong) || "");
      form.dataset.by = got.by;
    } catch (e) {
      if (e.message !== "replaced") at("sheet").replaceChildren(make("p", said("There is no signal, and this browser has no engine yet. What you type is kept on this phone.")));
    }
  }

  function show(got) {
    if (!got.sheet) return at("sheet").replaceChildren(make("p", got.why));
    const { next, contradictions, rows, scaling } = got.sheet;
    const parts = [];
    if (next) {
      const best = make("div", "", "best"), says = make("p");
      says.append(make("strong", next.name), said(", %s min. It narrows the doubt by %s; it %s.", next.minutes, next.narrows, next.why));
      best.append(make("p", said("The one reading that would help most"), "muted"), says);
      parts.push(best);
    }
    for (const c of contradictions || []) parts.push(make("p", c, "notice bad"));
    const table = make("table", "", "tight"), head = make("thead"), body = make("tbody");
    head.append(row(make("th", said("what")), make("th", said("value"), "number"), make("th", said("how sure"))));
    for (const r of rows) {
      const sure = make("td", r.band ? r.band + " " : "");
      sure.append(make("span", r.from, "muted"));
      body.append(row(make("td", r.name), make("td", r.value, "number"), sure));
    }
    table.append(head, body);
    parts.push(table);
    if (scaling?.length) {
      const list = make("table", "", "tight"), lines = make("tbody");
      for (const s of scaling) lines.append(row(make("td", said("%s recovery", s.name)), make("td", s.from), make("td", s.value)));
      list.append(lines);
      parts.push(make("h3", said("At the membrane's end")), list);
    }
    at("sheet").replaceChildren(...parts);
  }

  form.addEventListener("nosignal", sheet);
  form.addEventListener("input", () => keep(false));
  form.addEventListener("change", () => keep(false));
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    await keep(false);
    try {
      await fetch(root + "/readyz", { cache: "no-store" });
    } catch {
      await keep(true);
      tellDraft(said("There is no signal. It is on this phone, and sent by itself when there is."));
      at("draft").scrollIntoView({ block: "center" });
      await send(); // which tries again, less and less often
      return;
    }
    form.submit(); // the office says whether it can be taken
  });
  // What was sent by itself stands in the record: the page shows it anew.
  document.addEventListener("readings", async () => {
    const draft = await drafts.get(to);
    if (!draft || draft.at !== at0 && at0) return;
    if (drafts.there(draft) && !at("draft").hidden) location.href = to + "?saved";
    else if (!draft.pressed && draft.why) tellDraft(draft.why);
  });
  restore().catch(() => {}); // a browser that keeps nothing has nothing to put back
})();
