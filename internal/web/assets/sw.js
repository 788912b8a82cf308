// Lets pages open without signal. They come from the network when it answers
// soon, otherwise as this phone has kept them, and say from when.
"use strict";

const root = "ROOT", ours = "shell" + root + "-", shell = ours + "VERSION", seen = "pages" + root;
const files = [FILES];

addEventListener("install", (e) => {
  e.waitUntil(caches.open(shell).then((c) => c.addAll(files)).then(() => skipWaiting()));
});

addEventListener("activate", (e) => {
  e.waitUntil(caches.keys().then((names) => Promise.all(names.filter((n) => n.startsWith(ours) && n !== shell).map((n) => caches.delete(n)))).then(() => clients.claim()));
});

const kept = (path) => path === root + "/" || path.startsWith(root + "/") && /^\/sites\/[^/]+(\/(reading|survey|what-if|trends|faults|first-day))?$/.test(path.slice(root.length));

addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith(root + "/assets/")) {
    e.respondWith(caches.match(e.request).then((found) => found || fetch(e.request)));
  } else if (url.pathname.startsWith(root + "/engine/")) {
    e.respondWith(engine(e.request, url));
  } else if (e.request.headers.get("X-Road")) {
    e.respondWith(fetched(e, url));
  } else if (e.request.mode === "navigate" || kept(url.pathname) && !e.request.headers.get("X-Part")) {
    e.respondWith(page(e, url));
  }
});

// fetched is a page from the office, kept for when there is no signal. One that
// the engine still works on is not.
async function fetched(e, url) {
  const answer = await fetch(e.request);
  if (answer.ok && !answer.redirected && kept(url.pathname) && url.search === "" && !answer.headers.get("X-Unfinished")) e.waitUntil(keep(url.pathname, answer.clone()));
  return answer;
}

// keep puts a page on this phone with the time.
async function keep(path, answer) {
  const headers = new Headers(answer.headers);
  for (const name of ["Content-Encoding", "Content-Length"]) headers.delete(name);
  headers.set("X-Kept", Date.now());
  await (await caches.open(seen)).put(path, new Response(await answer.blob(), { headers }));
}

// quick pages are opened in the bay, with one hand, where a line that hangs is
// worse than none: they wait less for the office than the others.
const quick = (path) => path === root + "/" || path.endsWith("/reading");

async function page(e, url) {
  const old = await (await caches.open(seen)).match(url.pathname);
  const fresh = fetched(e, url);
  if (!old) return fresh.catch(async () => (await caches.match(root + "/phone")) || Response.error());
  if (!navigator.onLine) {
    e.waitUntil(fresh.catch(() => {}));
    return asKept(old);
  }
  let late = false;
  const patience = new Promise((yes) => setTimeout(yes, quick(url.pathname) && url.search === "" ? 800 : 3000));
  const first = await Promise.race([fresh.catch(() => undefined), patience.then(() => { late = true; })]);
  if (first) return first;
  if (late) e.waitUntil(fresh.then(() => tell(e.resultingClientId || e.clientId, url.pathname)).catch(() => {}));
  return asKept(old);
}

// asKept is a page as this phone has it; the page itself says so.
async function asKept(old) {
  const text = await old.text();
  return new Response(text.replace("<html ", `<html data-kept="${old.headers.get("X-Kept")}" `), { status: 200, headers: old.headers });
}

// tell says to a page that opened as it was kept that the office has answered.
async function tell(id, path) {
  const client = id && await clients.get(id);
  if (client) client.postMessage({ fresh: path });
}

// engine keeps the newest engine only: it is large.
async function engine(request, url) {
  const kept = await caches.open("engine");
  const found = await kept.match(request);
  if (found) return found;
  const answer = await fetch(request);
  if (answer.ok && url.search) {
    for (const old of await kept.keys()) if (new URL(old.url).pathname === url.pathname) await kept.delete(old);
    await kept.put(request, answer.clone());
  }
  return answer;
}
