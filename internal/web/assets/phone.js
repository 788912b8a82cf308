// Readings are kept on this phone first and sent when there is signal. Each
// has an id of its own, made here, so that sending it twice keeps it once.
// What is here and not sent yet is counted at the top of every page.
"use strict";

const keeper = (() => {
  let opened;
  const open = () => opened ||= new Promise((yes, no) => {
    const asked = indexedDB.open("rinsewright" + root, 2);
    asked.onupgradeneeded = (e) => {
      if (e.oldVersion < 1) {
        asked.result.createObjectStore("readings", { keyPath: "key" });
        asked.result.createObjectStore("device");
      }
      asked.result.createObjectStore("photos", { keyPath: "key" });
    };
    asked.onsuccess = () => yes(asked.result);
    asked.onerror = () => no(asked.error);
  });

  // work runs one transaction and answers after it is on the disk.
  const work = async (mode, stores, run) => {
    const db = await open();
    return new Promise((yes, no) => {
      const tx = db.transaction(stores, mode, { durability: "strict" });
      let answer;
      tx.oncomplete = () => yes(answer);
      tx.onabort = tx.onerror = () => no(tx.error);
      run(tx, (x) => { answer = x; });
    });
  };

  const id = () => {
    const b = crypto.getRandomValues(new Uint8Array(16));
    for (let i = 5, t = Date.now(); i >= 0; i--, t = Math.floor(t / 256)) b[i] = t % 256;
    b[6] = b[6] & 15 | 112;
    b[8] = b[8] & 63 | 128;
    const hex = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  };

  return {
    work,
    // keep numbers a form and puts it on this phone; fields are its samples.
    keep: (to, name, form, fields) => work("readwrite", ["device", "readings"], (tx, answer) => {
      const device = tx.objectStore("device").get("me");
      device.onsuccess = () => {
        const me = device.result || { id: id(), next: 1 };
        const typed = new URLSearchParams(form);
        typed.set("id", me.id);
        typed.set("seq", me.next);
        for (const field of fields) typed.set(field, id());
        const one = { key: id(), to, name, at: Date.now(), said: typed.toString(), state: "on this phone", why: "" };
        me.next += fields.length;
        tx.objectStore("device").put(me, "me");
        tx.objectStore("readings").put(one);
        answer(one);
      };
    }),
    all: () => work("readonly", ["readings"], (tx, answer) => {
      const got = tx.objectStore("readings").getAll();
      got.onsuccess = () => answer(got.result);
    }),
    put: (one) => work("readwrite", ["readings"], (tx) => tx.objectStore("readings").put(one)),
    drop: (key) => work("readwrite", ["readings"], (tx) => tx.objectStore("readings").delete(key)),
  };
})();

const clock = (at) => new Intl.DateTimeFormat(language, { dateStyle: "long", timeStyle: "short", hour12: false }).format(at);

// What the office holds in two versions has arrived: somebody there chooses.
const unsent = (all) => all.filter((one) => one.state === "on this phone");

// waitingHere is all that is on this phone and not at the office yet: readings,
// photos, surveys.
const waitingHere = async () => [...unsent(await keeper.all()), ...await photos.waiting(), ...await drafts.waiting()];

// count shows at the top of the page what is on this phone only.
async function count() {
  const here = document.getElementById("unsent");
  if (!here) return;
  const waiting = await waitingHere();
  here.hidden = waiting.length === 0;
  if (waiting.length === 0) return;
  const hours = Math.floor((Date.now() - Math.min(...waiting.map((one) => one.at))) / 36e5);
  here.textContent = hours >= 48 ? said("%s on this phone, oldest %s days", waiting.length, Math.floor(hours / 24)) :
    hours >= 1 ? said("%s on this phone, oldest %s h", waiting.length, hours) : said("%s on this phone", waiting.length);
}

let sending, wait = 2500, later;

// send tries everything that is not sent yet. It never gives up and drops
// nothing: only the office's receipt makes a reading "sent".
function send() {
  return sending ||= (async () => {
    try {
      for (const one of unsent(await keeper.all())) {
        const answer = await fetch(one.to, { method: "POST", body: new URLSearchParams(one.said), headers: { "X-Part": "phone" } });
        const receipt = answer.headers.get("Content-Type")?.includes("json") ? await answer.json() : { why: said("The office did not answer as it should.") };
        one.state = { 200: "sent", 409: "two versions", ...one.to.endsWith("/first-day") && { 422: "refused" } }[answer.status] || "on this phone";
        one.why = receipt.why || "";
        await keeper.put(one);
        await count();
        if (answer.status === 401) break;
      }
      await drafts.send();
      await photos.send();
      const old = (await keeper.all()).filter((one) => one.state !== "on this phone").sort((a, b) => b.at - a.at).slice(30);
      for (const one of old) await keeper.drop(one.key);
    } catch { // no signal, or a browser that keeps nothing
    } finally {
      sending = undefined;
    }
    await count();
    document.dispatchEvent(new Event("readings"));
    clearTimeout(later);
    const more = [...unsent(await keeper.all()), ...await photos.waiting(), ...(await drafts.waiting()).filter((one) => one.pressed)];
    if (more.length === 0) {
      wait = 2500;
      return;
    }
    wait = Math.min(wait * 2, 300000); // less and less often
    later = setTimeout(send, wait * (0.75 + Math.random() / 2));
  })();
}

// storage asks the browser not to clear what is kept, and tells how much room
// there is. A browser may say no.
const storage = {
  ask: () => navigator.storage?.persist?.().catch(() => false),
  tell: async () => {
    if (!navigator.storage?.estimate) return "";
    const { usage, quota } = await navigator.storage.estimate();
    const lasts = await navigator.storage.persisted?.();
    const share = quota ? usage / quota : 0;
    const room = share > 0.8 ? said("This phone is nearly full: send what is here before you take more.") + " " : "";
    return room + (lasts ? said("The browser keeps what is here until it is sent.") : said("The browser may clear what is here when the phone runs out of room, or when the page is not opened for weeks: install it on the home screen, and send soon."));
  },
};

// saveFile puts everything unsent into a file, the last resort when a phone
// cannot send: the office brings it in with the same ids, so that nothing is
// kept twice.
async function saveFile() {
  const text = (bytes) => { // in parts: a call takes so many arguments and no more
    let out = "";
    for (let i = 0; i < bytes.length; i += 32768) out += String.fromCharCode(...bytes.subarray(i, i + 32768));
    return btoa(out);
  };
  const readings = unsent(await keeper.all()).map(({ key, to, name, at, said }) => ({ key, to, name, at, said }));
  const surveys = (await drafts.waiting()).map((one) => ({ to: one.to, name: one.name, said: drafts.said(one).toString() }));
  const pictures = (await photos.all()).map(({ id, to, name, words, at, offset, bytes }) => ({ id, to, name, words, at, offset, data: text(new Uint8Array(bytes)) }));
  const file = new File([JSON.stringify({ rinsewright_unsent: 1, readings, surveys, photos: pictures })], `unsent-${new Date().toISOString().slice(0, 16).replace(":", "")}.json`, { type: "application/json" });
  const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(file), download: file.name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  document.getElementById("saved").hidden = false;
}

// The page that lists what is on this phone.
const list = document.getElementById("queue");
if (list) {
  const show = async () => {
    const all = (await keeper.all()).sort((a, b) => b.at - a.at);
    list.replaceChildren(...all.map((one) => {
      const typed = new URLSearchParams(one.said);
      const values = ["raw", "permeate", "polished"].map((p) => typed.get(p + ".value") ? typed.get(p + ".value") + " " + typed.get(p + ".unit") : typed.get(p + ".skipped") || "").filter(Boolean).join(" · ") || (typed.get("signed") ? said("first day, signed %s", typed.get("signed")) : "");
      const row = document.createElement("li");
      const state = Object.assign(document.createElement("span"), { className: one.state === "sent" ? "state" : "state today", textContent: stateWords[one.state] || one.state });
      const where = Object.assign(document.createElement("strong"), { textContent: one.name });
      const rest = Object.assign(document.createElement("span"), { textContent: values });
      const when = Object.assign(document.createElement("span"), { className: "muted", textContent: clock(one.at) + (one.why ? ": " + one.why : "") });
      row.append(state, where, rest, when);
      return row;
    }));
    for (const one of (await drafts.all()).sort((a, b) => b.at - a.at)) {
      const row = document.createElement("li");
      const fields = one.set.length + one.remove.length;
      row.append(Object.assign(document.createElement("span"), { className: drafts.there(one) ? "state" : "state today", textContent: one.state || "on this phone" }),
        Object.assign(document.createElement("strong"), { textContent: one.name || "a survey" }),
        Object.assign(document.createElement("a"), { href: one.to, textContent: `survey: ${fields} ${fields === 1 ? "change" : "changes"}` }),
        Object.assign(document.createElement("span"), { className: "muted", textContent: clock(one.at) + (one.why ? ": " + one.why : one.pressed || drafts.there(one) ? "" : ": not saved yet") }));
      list.append(row);
    }
    for (const one of await photos.all()) {
      const row = document.createElement("li");
      const say = (tag, className, textContent) => row.append(Object.assign(document.createElement(tag), { className, textContent }));
      say("span", "state today", stateWords[one.state] || one.state);
      say("strong", "", one.name);
      say("span", "", one.words ? said("photo: %s", one.words) : said("photo"));
      say("span", "muted", clock(one.at) + (one.why ? ": " + one.why : ""));
      if (one.state === "refused") {
        const button = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: said("Let it go") });
        button.addEventListener("click", async () => { await photos.drop(one.key); await show(); });
        row.append(button);
      }
      list.append(row);
    }
    document.getElementById("none").hidden = list.children.length > 0;
    document.getElementById("savefile").disabled = unsent(all).length + (await photos.all()).length + (await drafts.waiting()).length === 0;
    document.getElementById("room").textContent = await storage.tell();
  };
  const wifi = document.getElementById("wifi");
  wifi.checked = photos.onlyWiFi();
  wifi.addEventListener("change", () => localStorage.setItem("photos over Wi-Fi only", wifi.checked ? "yes" : "no"));
  document.getElementById("savefile").addEventListener("click", saveFile);
  document.addEventListener("readings", show);
  document.getElementById("sendnow").addEventListener("click", () => send());
  show();
}

// Whoever leaves while something is on this phone only would leave it behind.
const leave = document.querySelector("form.leave");
if (leave) leave.addEventListener("submit", async (e) => {
  e.preventDefault();
  if ((await waitingHere()).length > 0) {
    location.href = root + "/phone?stay";
    return;
  }
  if (window.caches) await caches.delete("pages" + root);
  leave.submit();
});

const soon = () => {
  wait = 2500;
  send();
};
addEventListener("online", soon);
document.addEventListener("visibilitychange", () => { if (!document.hidden) soon(); });
count().then(send).catch(() => {}); // a browser that keeps nothing has nothing to count
