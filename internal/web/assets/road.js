// What a phone takes along for the road: the sites that somebody has chosen and
// those that were opened last, each with its own page, its reading page, its
// trends and what may be wrong. A page that comes from this phone says from when
// it is.
"use strict";

const road = (() => {
  const mostRecent = 5, mostChosen = 40, again = 600000;
  const load = () => { try { return JSON.parse(localStorage.getItem("road" + root) || "{}"); } catch { return {}; } };
  const save = (sites) => localStorage.setItem("road" + root, JSON.stringify(sites));
  const pages = (id) => ["/reading", "", "/trends", "/survey", "/what-if", "/first-day"].map((page) => `${root}/sites/${id}${page}`);

  // change notes something about a site; those that nobody chose and nobody
  // opened lately are forgotten.
  const change = (id, what) => {
    const sites = load();
    sites[id] = { ...sites[id], ...what };
    const order = Object.keys(sites).sort((a, b) => (sites[b].seen || 0) - (sites[a].seen || 0));
    const chosen = order.filter((x) => sites[x].chosen).slice(0, mostChosen);
    const recent = order.filter((x) => !sites[x].chosen).slice(0, mostRecent);
    save(Object.fromEntries([...chosen, ...recent].map((x) => [x, sites[x]])));
  };

  // since is when the oldest of a site's pages was kept; undefined when one of
  // the first three is not here.
  const since = async (id) => {
    const cache = await caches.open("pages" + root);
    const found = await Promise.all(pages(id).slice(0, 3).map((page) => cache.match(page)));
    return found.every(Boolean) ? Math.min(...found.map((page) => Number(page.headers.get("X-Kept")))) : undefined;
  };

  // get fetches one page; the engine may need some seconds for it.
  const get = async (page) => {
    for (let tries = 0; tries < 8; tries++) {
      const answer = await fetch(page, { headers: { "X-Road": "1" } });
      if (!answer.headers.get("X-Unfinished")) return answer.ok;
      await new Promise((yes) => setTimeout(yes, 2500));
    }
    return false;
  };

  const fetchSite = async (id) => {
    for (const page of pages(id)) await get(page);
    document.dispatchEvent(new Event("road"));
  };

  return {
    change, since, fetchSite,
    all: () => Object.entries(load()).map(([id, site]) => ({ id, ...site })),
    // fetchAll fetches what is not here or older than ten minutes.
    fetchAll: async (now) => {
      for (const { id } of road.all()) {
        const at = await since(id);
        if (now || !at || Date.now() - at > again) await fetchSite(id);
      }
    },
  };
})();

// A page from this phone says so, and when the office has answered after all.
{
  const html = document.documentElement, main = document.getElementById("main");
  if (html.dataset.kept && main) {
    const says = Object.assign(document.createElement("p"), { id: "askept", className: "notice", textContent: said("From this phone, as of %s.", clock(Number(html.dataset.kept))) + " " });
    says.setAttribute("role", "status");
    main.prepend(says);
    let touched = false;
    for (const kind of ["pointerdown", "keydown", "input"]) addEventListener(kind, () => { touched = true; }, { once: true });
    navigator.serviceWorker?.addEventListener("message", (e) => {
      if (e.data.fresh !== location.pathname || document.getElementById("newer")) return;
      const last = Number(sessionStorage.getItem("shown anew") || 0);
      if (location.pathname === root + "/" && !touched && Date.now() - last > 10000) { // a list that nobody has touched
        sessionStorage.setItem("shown anew", Date.now());
        location.reload();
        return;
      }
      const button = Object.assign(document.createElement("button"), { id: "newer", type: "button", className: "quiet", textContent: said("Show what the office has now") });
      button.addEventListener("click", () => location.reload());
      says.append(button);
    });
  }
}

// The site that is open is one of the last.
{
  const here = /^\/sites\/([0-9a-f-]{36})(\/|$)/.exec(location.pathname);
  const name = document.querySelector("form[data-name], input[data-name]")?.dataset.name;
  if (here && name) road.change(here[1], { name, seen: Date.now() });
}

// The box on a site's page.
for (const box of document.querySelectorAll("input[data-pin]")) {
  const id = box.dataset.pin, says = document.getElementById("pinned");
  const show = async () => {
    box.checked = Boolean(road.all().find((one) => one.id === id)?.chosen);
    const at = await road.since(id).catch(() => undefined);
    says.textContent = at ? said("on this phone, as of %s", clock(at)) : "";
  };
  box.addEventListener("change", async () => {
    road.change(id, { name: box.dataset.name, chosen: box.checked, seen: Date.now() });
    if (box.checked) await road.fetchSite(id).catch(() => {});
    await show();
  });
  document.addEventListener("road", show);
  show();
}

// The list of them on the page On this phone.
{
  const list = document.getElementById("road");
  const show = async () => {
    const rows = [];
    for (const one of road.all()) {
      const at = await road.since(one.id).catch(() => undefined);
      const row = document.createElement("li"), label = document.createElement("label"), box = document.createElement("input");
      box.type = "checkbox";
      box.checked = Boolean(one.chosen);
      box.addEventListener("change", () => road.change(one.id, { chosen: box.checked }));
      label.className = "tick";
      label.append(box, said("keep"));
      const says = at ? said("as of %s", clock(at)) : said("not here yet");
      row.append(Object.assign(document.createElement("a"), { href: `${root}/sites/${one.id}`, textContent: one.name || said("a site") }), Object.assign(document.createElement("a"), { href: `${root}/sites/${one.id}/reading`, textContent: said("Reading") }),
        Object.assign(document.createElement("span"), { className: "muted", textContent: says }), label);
      label.querySelector("input").setAttribute("aria-label", said("keep %s on this phone", one.name || said("a site")));
      rows.push(row);
    }
    list.replaceChildren(...rows);
    document.getElementById("noroad").hidden = rows.length > 0;
    document.getElementById("fetchnow").disabled = rows.length === 0;
  };
  if (list) {
    document.addEventListener("road", show);
    document.getElementById("fetchnow").addEventListener("click", async (e) => {
      e.target.disabled = true;
      await road.fetchAll(true).catch(() => {});
      await show();
    });
    show();
  }
}

if (navigator.serviceWorker) {
  navigator.serviceWorker.register(root + "/sw.js");
  navigator.serviceWorker.ready.then(async () => {
    // The reading pages of the sites that stand first, then those of the road.
    const stood = [...document.querySelectorAll(".sites .quick a")].slice(0, 10).map((link) => link.pathname);
    for (const page of stood) await fetch(page, { headers: { "X-Road": "1" } });
    const { wasm, script } = document.documentElement.dataset; // and the engine
    for (const link of [wasm, script]) if (link) await fetch(link);
    await road.fetchAll();
  }).catch(() => {}); // no signal: what is here is here
}
