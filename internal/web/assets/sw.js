// Lets the reading pages open without signal. Pages come from the network when
// it answers within three seconds, otherwise as they were last seen.
"use strict";

const shell = "shell-VERSION";
const files = [FILES];

addEventListener("install", (e) => {
  e.waitUntil(caches.open(shell).then((c) => c.addAll(files)).then(() => skipWaiting()));
});

addEventListener("activate", (e) => {
  e.waitUntil(caches.keys().then((names) => Promise.all(names.filter((n) => n.startsWith("shell-") && n !== shell).map((n) => caches.delete(n)))).then(() => clients.claim()));
});

const kept = (path) => path === "/" || /^\/sites\/[^/]+(\/reading|\/survey|\/what-if|\/first-day)?$/.test(path);

addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/assets/")) {
    e.respondWith(caches.match(e.request).then((found) => found || fetch(e.request)));
  } else if (url.pathname.startsWith("/engine/")) {
    e.respondWith(engine(e.request, url));
  } else if (e.request.mode === "navigate" || kept(url.pathname) && !e.request.headers.get("X-Part")) {
    e.respondWith(page(e.request, url.pathname));
  }
});

async function page(request, path) {
  const old = await caches.match(path);
  const fresh = fetch(request).then(async (answer) => {
    if (answer.ok && !answer.redirected && kept(path) && new URL(request.url).search === "") await (await caches.open("pages")).put(path, answer.clone());
    return answer;
  });
  if (!old) return fresh.catch(async () => (await caches.match("/phone")) || Response.error());
  const patience = new Promise((yes) => setTimeout(() => yes(old), 3000));
  return Promise.race([fresh.catch(() => old), patience]);
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
