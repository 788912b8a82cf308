// Numbers of a site are changed where they stand on the path, and the engine
// says what follows: the path at once, the bands after it.
"use strict";

(() => {
  const page = document.getElementById("whatif");
  if (!page) return;
  const at = (id) => document.getElementById(id);
  const make = (name, words, of = {}) => Object.assign(document.createElement(name), { textContent: words || "" }, of);
  const was = (words) => make("span", words ? said("was %s", words) : "", { className: "was" });
  const file = at("file").value;
  const changes = new Map(); // key to what was typed
  const first = new Map(); // key to what it was
  let asked = 0, later;

  const question = (ask) => ({ ask, file, units: page.dataset.units, decimal: page.dataset.decimal, language, set: [...changes].map(([key, says]) => ({ key, says })) });

  async function answer() {
    const mine = ++asked;
    const begun = performance.now();
    clearTimeout(later);
    at("bands").textContent = said("The bands follow.");
    try {
      const got = await engine.ask(question("sketch"));
      if (mine !== asked) return;
      show(got);
      page.dataset.took = performance.now() - begun;
      page.dataset.by = got.by;
      if (got.path) later = setTimeout(bands, 400);
    } catch (e) {
      if (e.message !== "replaced") say(said("There is no signal, and this browser has no engine yet. Your numbers stay here."));
    } finally {
      if (mine === asked) page.dataset.answered = mine;
    }
  }

  async function bands() {
    const mine = asked;
    at("bands").textContent = said("The bands are being worked out.");
    try {
      const got = await engine.ask(question("check"));
      if (mine !== asked) return;
      if (got.path) promises(got.path.promises);
      at("bands").textContent = got.path ? said("Bands from 16 looks at the same path, each within the doubt of meters, data sheets and assumptions.") : got.why;
    } catch (e) {
      if (e.message !== "replaced") at("bands").textContent = said("Without signal and engine there are no bands.");
    }
  }

  function show(got) {
    const wrong = new Map((got.wrong || []).map((w) => [w.key, w.says]));
    for (const box of page.querySelectorAll(".knob")) box.querySelector(".error").textContent = wrong.get(box.dataset.key) || "";
    const loose = [...wrong].filter(([key]) => !page.querySelector(`[data-key="${CSS.escape(key)}"]`)).map(([, says]) => says);
    at("why").textContent = [got.why, ...loose].filter(Boolean).join(" ");
    at("why").hidden = at("why").textContent === "";
    if (!got.path) return say(got.why ? said("No answer to that.") : "");
    draw(got.path);
    promises(got.path.promises);
    at("findings").replaceChildren(...got.path.findings.map((f) => {
      const row = make("li");
      const says = make("div");
      says.append(make("strong", f.says));
      if (f.new && changes.size) says.append(" ", make("span", said("new since"), { className: "fresh" }));
      row.append(make("span", stateWords[f.state] || f.state, { className: "state " + f.state }), says);
      return row;
    }));
    at("money").replaceChildren(...got.path.costs.map((c) => line(c.name, c.says, c.was, undefined, c.name === "total" ? "total" : "")));
    const moved = got.path.promises.filter((p) => p.was);
    say(moved.length ? moved.slice(0, 3).map((p) => said("%s %s, was %s", p.says, p.value, p.was)).join(" · ") : changes.size ? said("Nothing that is promised moves.") : said("As the survey stands."));
  }

  const say = (words) => { at("said").textContent = words; };

  function line(name, value, before, band, kind) {
    const row = make("tr", "", { className: kind || "" });
    const cell = make("td", value, { className: "number" });
    if (before) cell.append(was(before));
    row.append(make("td", name), cell);
    if (band !== undefined) row.append(make("td", band, { className: "number" }));
    return row;
  }

  const promises = (all) => at("promises").replaceChildren(...all.map((p) => line(p.says, p.value, p.was, p.band || "")));

  // draw shows the path. The knobs stay the elements they are, so that a hand
  // on one of them is not lost.
  function draw(path) {
    at("wide").innerHTML = path.wide;
    at("mini").innerHTML = path.mini;
    const list = at("stations");
    if (list.children.length !== path.stations.length) list.replaceChildren(...path.stations.map(station));
    path.stations.forEach((s, i) => {
      const box = list.children[i];
      box.querySelector(".state").textContent = (stateWords[s.state] || s.state) + (s.word ? " · " + s.word : "");
      box.querySelector(".state").className = "state " + s.state;
      box.querySelector(".facts").replaceChildren(...s.facts.map((f) => {
        const fact = make("li", (f.label ? f.label + " " : "") + f.says, { className: f.was ? "new" : "" });
        if (f.was) fact.append(was(f.was));
        return fact;
      }));
    });
    align(path);
  }

  // align puts the knobs under their station in the wide drawing, once.
  let centres;
  function align(path) {
    const svg = at("wide").querySelector("svg");
    const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 0;
    const list = at("stations");
    if (!scale) {
      list.style.gridTemplateColumns = "";
      return;
    }
    if (!centres || centres.length !== path.stations.length) {
      centres = path.stations.map((s) => {
        const box = svg.querySelector("#" + CSS.escape(s.id)).getBBox();
        return box.x + box.width / 2;
      });
      if (centres.length === 1) centres.unshift(0);
    }
    const edges = centres.slice(1).map((x, i) => (x + centres[i]) / 2);
    edges.unshift(Math.max(0, 2 * centres[0] - edges[0]));
    edges.push(Math.min(svg.viewBox.baseVal.width, 2 * centres.at(-1) - edges.at(-1)));
    list.style.paddingLeft = edges[0] * scale + "px";
    list.style.gridTemplateColumns = edges.slice(1).map((x, i) => (x - edges[i]) * scale + "px").join(" ");
    shown = path;
  }
  let shown;
  addEventListener("resize", () => { if (shown) align(shown); });

  function station(s) {
    const box = make("li");
    const head = make("div", "", { className: "head" });
    head.append(make("h2", s.name), make("span", "", { className: "state" }));
    const knobs = make("div", "", { className: "knobs" });
    const all = (s.knobs || []).map((k) => knob(s, k));
    knobs.append(...all.slice(0, 3));
    if (all.length > 3) { // what is turned less often folds away
      const more = make("details", "", { className: "more" }), rest = make("summary");
      rest.append(make("span", said("more"), { className: "name" }));
      rest.setAttribute("aria-label", said("more of %s", s.name));
      more.append(rest, ...all.slice(3));
      knobs.append(more);
    }
    box.append(head, make("ul", "", { className: "facts" }), knobs);
    return box;
  }

  function knob(s, k) {
    first.set(k.key, changes.has(k.key) ? first.get(k.key) : k.says);
    const box = make("div", "", { className: "knob" });
    box.dataset.key = k.key;
    const input = make("input", "", { id: "knob-" + k.key, value: k.says, placeholder: k.example, autocomplete: "off" });
    input.setAttribute("aria-describedby", `was-${k.key} wrong-${k.key}`);
    const label = make("label", k.label, { htmlFor: input.id });
    const less = make("button", "−", { type: "button", className: "second" }), more = make("button", "+", { type: "button", className: "second" });
    less.setAttribute("aria-label", said("less: %s, %s", s.name, k.label));
    more.setAttribute("aria-label", said("more: %s, %s", s.name, k.label));
    const turned = () => {
      const before = first.get(k.key);
      if (input.value.trim() === before) changes.delete(k.key);
      else changes.set(k.key, input.value.trim());
      box.classList.toggle("turned", changes.has(k.key));
      at("was-" + k.key).textContent = changes.has(k.key) ? said("was %s", before || said("not known")) : "";
      remember();
      answer();
    };
    const turn = (up) => {
      const next = stepped(input.value || input.placeholder, up); // from the example where nothing is known
      if (next === input.value) return;
      input.value = next;
      turned();
    };
    less.addEventListener("click", () => turn(false));
    more.addEventListener("click", () => turn(true));
    input.addEventListener("input", turned);
    input.addEventListener("keydown", (e) => {
      const up = { ArrowUp: true, ArrowDown: false }[e.key];
      if (up === undefined) return;
      e.preventDefault();
      turn(up);
    });
    input.addEventListener("beforeinput", (e) => {
      const whole = input.selectionStart === 0 && input.selectionEnd === input.value.length;
      if (e.data !== "+" && (e.data !== "-" || whole)) return; // a number below zero is typed anew
      e.preventDefault();
      turn(e.data === "+");
    });
    const turnbox = make("div", "", { className: "turn" });
    turnbox.append(less, input, more);
    box.append(label, turnbox, make("span", "", { id: "was-" + k.key, className: "was" }), make("p", "", { id: "wrong-" + k.key, className: "error" }));
    return box;
  }

  // stepped is a number with its unit, one step on: about a twentieth of it,
  // in a round number; a plain count goes by ones.
  function stepped(text, up) {
    const found = /^(\s*)(-?\d+(?:[.,]\d+)?)(.*)$/.exec(text);
    if (!found) return text;
    const comma = found[2].includes(",");
    const value = Number(found[2].replace(",", "."));
    const rough = Math.max(Math.abs(value) / 20, 1e-6);
    const power = 10 ** Math.floor(Math.log10(rough));
    let step = [1, 2, 5, 10].map((n) => n * power).findLast((n) => n <= rough * 1.5) || power;
    if (!found[3].trim()) step = Math.max(1, Math.round(step));
    const digits = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    let next = (Math.round(value / step) + (up ? 1 : -1)) * step;
    if (value > 0 && next <= 0) next = value;
    const said = String(Number(next.toFixed(digits)));
    return found[1] + (comma ? said.replace(".", ",") : said) + found[3];
  }

  // remember puts what was changed into the form that keeps it.
  function remember() {
    at("undo").disabled = changes.size === 0;
    if (at("keep")) at("keep").disabled = changes.size === 0;
    at("kept").replaceChildren(...[...changes].map(([name, value]) => make("input", "", { type: "hidden", name, value })));
  }

  at("undo").addEventListener("click", () => {
    changes.clear();
    for (const box of page.querySelectorAll(".knob")) {
      box.querySelector("input").value = first.get(box.dataset.key);
      box.classList.remove("turned");
      at("was-" + box.dataset.key).textContent = "";
    }
    remember();
    answer();
  });

  answer();
})();
