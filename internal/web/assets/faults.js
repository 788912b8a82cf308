// What may be wrong, weighed by the engine in this browser where there is no signal.
"use strict";

(() => {
  const form = document.getElementById("weigh"), box = document.getElementById("here");
  if (!form) return;
  const make = (name, words) => Object.assign(document.createElement(name), { textContent: words });
  const list = (name, rows) => {
    const all = make(name, "");
    all.append(...rows.map((words) => make("li", words)));
    return all;
  };
  const percent = (share) => Math.round(100 * share) + " %";

  function show(f) {
    const first = f.suspects[0];
    document.getElementById("before").hidden = true; // the answer from before what was typed now
    box.replaceChildren(
      make("h2", said("How likely")),
      list("ol", f.suspects.map((s) => `${percent(s.share)} ${[s.name, s.form].filter(Boolean).join(", ")}`)),
      ...(f.doubts || []).map((words) => make("p", words)),
      make("h2", said("Test next")),
      list("ol", (f.next || []).map((t) => `${t.do}, ${Math.round(t.minutes)} min`)),
      make("h2", said("What to do if it is %s", first.name)),
      list("ol", f.do || []),
      ...(f.cautions || []).map((words) => Object.assign(make("p", words), { className: "notice bad" })),
    );
  }

  form.addEventListener("submit", async (e) => {
    if (navigator.onLine && !document.documentElement.dataset.kept) return;
    e.preventDefault();
    const typed = (name) => form.elements[name].value.trim();
    box.hidden = false;
    box.replaceChildren(make("p", said("The engine of this browser weighs the causes.")));
    try {
      const got = await engine.ask({
        ask: "faults", file: document.getElementById("file").value, units: form.dataset.units, decimal: form.dataset.decimal, language,
        said: typed("said") ? typed("said").split(". ") : [], read: typed("read") ? [typed("read")] : [],
      });
      if (got.faults) show(got.faults);
      else box.replaceChildren(make("p", got.why));
      box.dataset.by = got.by;
    } catch (wrong) {
      if (wrong.message !== "replaced") box.replaceChildren(make("p", said("There is no signal, and this browser has no engine yet.")));
    }
  });
})();
