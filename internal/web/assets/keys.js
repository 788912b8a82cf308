// Two keys for whoever has a keyboard: / goes to a site or a page by name, ?
// tells the keys and what the words of the page mean. Neither is heard while
// somebody types, and both can be switched off in the settings.
"use strict";

(() => {
  const make = (name, words, of = {}) => Object.assign(document.createElement(name), { textContent: words || "" }, of);

  // box is a dialog with a heading and a button that closes it.
  const box = (id, heading) => {
    const dialog = make("dialog", "", { id });
    const head = make("h2", heading, { id: id + "-head" });
    const shut = make("button", said("Close"), { type: "button", className: "second" });
    dialog.setAttribute("aria-labelledby", head.id);
    shut.addEventListener("click", () => dialog.close());
    dialog.append(head, make("div", "", { className: "inner" }), shut);
    document.body.append(dialog);
    return dialog;
  };

  const sitePages = [["reading", said("Reading")], ["survey", said("Survey")], ["what-if", said("What if")], ["faults", said("What may be wrong")], ["first-day", said("First day")],
    ["trends", said("Trends")], ["sizing", said("Sizing")], ["papers", said("Papers")]];
  const plain = (text) => text.trim().toLowerCase().normalize("NFD").replace(/\p{M}/gu, "");

  // sites asks the list of sites; without signal it is those kept on this phone.
  async function sites(name) {
    try {
      const answer = await fetch(root + "/?" + new URLSearchParams({ q: name }), { headers: { "X-Part": "1" } });
      const rows = new DOMParser().parseFromString(await answer.text(), "text/html");
      return [...rows.querySelectorAll(".who a")].slice(0, 8).map((a) => ({ name: a.textContent, path: root + new URL(a.getAttribute("href"), location.origin).pathname.slice(root.length) }));
    } catch {
      return road.all().filter((one) => plain(one.name || "").includes(plain(name))).map((one) => ({ name: one.name, path: `${root}/sites/${one.id}` }));
    }
  }

  // places are where the words may lead, the likeliest first. The last word may
  // name a page of the site.
  async function places(words) {
    const pages = [...document.querySelectorAll(".bar nav a")].map((a) => ({ name: a.textContent, path: a.pathname })).filter((p) => plain(p.name).startsWith(plain(words)));
    if (!words.trim()) return pages;
    const found = (await sites(words)).map((s) => ({ ...s }));
    const [, first, last] = /^(.*\S)\s+(\S+)$/.exec(words.trim()) || [];
    const page = last && sitePages.find(([, name]) => plain(name).split(" ").some((word) => word.startsWith(plain(last))));
    const inner = page && found.length === 0 ? (await sites(first)).map((s) => ({ name: `${s.name}: ${page[1]}`, path: `${s.path}/${page[0]}` })) : [];
    return [...pages, ...found, ...inner];
  }

  let going, asked = 0;
  function go() {
    going ||= (() => {
      const dialog = box("goto", said("Go to"));
      const field = make("input", "", { id: "goto-name", type: "search", autocomplete: "off" });
      const list = make("ol", "", { className: "places" });
      field.setAttribute("aria-describedby", "goto-says");
      const form = make("form");
      form.append(make("label", said("A site or a page, by its name"), { htmlFor: field.id }), field,
        make("p", said("After a site's name a page of it: reading, survey, trends. Enter goes to the first."), { id: "goto-says", className: "says" }), list);
      const show = async () => {
        const mine = ++asked, all = await places(field.value);
        if (mine !== asked) return;
        list.replaceChildren(...all.map((p) => {
          const row = make("li");
          row.append(make("a", p.name, { href: p.path }));
          return row;
        }));
        if (all.length === 0) list.replaceChildren(make("li", said("Nothing is called that.")));
      };
      field.addEventListener("beforeinput", (e) => { if (e.data === "/" && field.value === "") e.preventDefault(); }); // the key that opened it
      field.addEventListener("input", show);
      form.addEventListener("submit", async (e) => {
        e.preventDefault();
        await show();
        list.querySelector("a")?.click();
      });
      dialog.querySelector(".inner").append(form);
      dialog.addEventListener("close", () => { field.value = ""; });
      return { dialog, field, show };
    })();
    going.dialog.showModal();
    going.field.focus();
    going.show();
  }

  let helping;
  async function help() {
    if (!helping) {
      helping = box("keys", said("Keys, and words of this page"));
      const keys = make("dl", "", { className: "glossary" });
      for (const [key, does] of [["/", said("go to a site or a page by its name")], ["?", said("these keys and words")], ["Tab", said("on to the next field or link")], ["Esc", said("close this")]]) {
        const row = make("div");
        row.append(make("dt", key), make("dd", does));
        keys.append(row);
      }
      const words = make("dl", "", { className: "glossary" });
      helping.querySelector(".inner").append(keys, make("h3", said("Words of this page")), words, make("p", said("The keys / and ? can be switched off in the settings."), { className: "muted" }));
      helping.showModal();
      try {
        const page = new DOMParser().parseFromString(await (await fetch(root + "/help")).text(), "text/html");
        const here = " " + plain(document.getElementById("main").textContent).replace(/[^\p{L}]+/gu, " ") + " ";
        const all = [...page.querySelectorAll(".glossary div")];
        const of = all.filter((row) => here.includes(" " + plain(row.querySelector("dt").textContent)));
        words.replaceChildren(...(of.length > 0 ? of : all).map((row) => document.importNode(row, true)));
      } catch {
        words.replaceChildren(make("p", said("There is no signal. The words stand on the page Help.")));
      }
      return;
    }
    helping.showModal();
  }

  for (const [id, does] of [["go", go], ["ask", help]]) {
    const button = document.getElementById(id);
    if (!button) continue;
    button.hidden = false;
    button.addEventListener("click", does);
  }
  if (document.documentElement.dataset.keys === "off") return;
  document.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.altKey || e.metaKey || e.isComposing || e.defaultPrevented || document.querySelector("dialog[open]")) return;
    if (e.target.closest?.("input, select, textarea, [contenteditable]")) return;
    const does = { "/": document.getElementById("go") && go, "?": document.getElementById("ask") && help }[e.key];
    if (!does) return;
    e.preventDefault();
    does();
  });
})();
