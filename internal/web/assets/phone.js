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
        const said = new URLSearchParams(form);
        said.set("id", me.id);
        said.set("seq", me.next);
        for (const field of fields) said.set(field, id());
        const one = { key: id(), to, name, at: Date.now(), said: said.toString(), state: "on this phone", why: "" };
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

const clock = (at) => new Intl.DateTimeFormat(undefined, { dateStyle: "long", timeStyle: "short", hour12: false }).format(at);

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
  const age = hours >= 48 ? `, oldest ${Math.floor(hours / 24)} days` : hours >= 1 ? `, oldest ${hours} h` : "";
  here.textContent = `${waiting.length} on this phone${age}`;
}

let sending, wait = 2500, later;

// send tries everything that is not sent yet. It never gives up and drops
// nothing: only the office's receipt makes a reading "sent".
function send() {
  return sending ||= (async () => {
    try {
      for (const one of unsent(await keeper.all())) {
        const answer = await fetch(one.to, { method: "POST", body: new URLSearchParams(one.said), headers: { "X-Part": "phone" } });
        const receipt = answer.headers.get("Content-Type")?.includes("json") ? await answer.json() : { why: "The office did not answer as it should." };
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

// linesOf is what a form says, as lines of a log.
function linesOf(form) {
  const said = (name) => form.elements[name]?.value.trim() || "";
  const scale = said("scale"), scaled = /^[\d.,]+$/.test(scale) && scale !== "442" ? "scale " + scale : scale;
  const whole = (gauge, value, unit) => {
    const text = /^[\d., ]+$/.test(value) && unit ? value + " " + unit : value;
    return gauge + " = " + (text.endsWith("ppm") && scaled ? text + " " + scaled : text);
  };
  const lines = [];
  for (const [place, gauge] of [["raw", "feed_strength"], ["permeate", "permeate_strength"], ["polished", "polished_strength"]]) {
    if (said(place + ".value")) lines.push(whole(gauge, said(place + ".value"), said(place + ".unit")));
  }
  for (const box of form.querySelectorAll(".more input:not([type=hidden])")) {
    if (box.value.trim()) lines.push(whole(box.name.startsWith("gauge.") ? box.name.slice(6) : "feed_" + box.name, box.value.trim(), said(box.name + ".unit")));
  }
  return lines;
}

// odd asks the engine what looks odd; where none answers soon, the little that
// is known here is said.
async function odd(form) {
  const now = new Date(), day = new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  const question = { ask: "odd", file: document.getElementById("file").value, read: linesOf(form), date: day, units: form.dataset.units, decimal: form.elements.decimal.value };
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
  if (higher(permeate, raw)) says.push("Higher after the membrane than before: swapped?");
  if (higher(polished, permeate) || !permeate && higher(polished, raw)) says.push("Higher after the resin than before: swapped, or the resin is used up?");
  const before = /([\d.,]+)\s*(ppm|[uµ]S\/cm)/.exec(document.getElementById("raw-last")?.textContent || "");
  const last = before && Number(before[1].replace(",", "."));
  if (raw && last > 0 && raw.unit === before[2].replace("µ", "u") && (raw.x > 5 * last || raw.x < last / 5)) says.push("Far from last time: a unit or a digit off?");
  return says;
}

for (const form of document.querySelectorAll("form.reading")) {
  const places = [...form.querySelectorAll("[data-place]")].map((box) => box.dataset.place);
  const result = document.getElementById("kept");
  form.addEventListener("nosignal", async () => {
    const says = await odd(form);
    if (says) document.getElementById("doubts").replaceChildren(...says.map((says) => Object.assign(document.createElement("p"), { className: "notice bad", textContent: says })));
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
    const filled = places.some((p) => form.elements[p + ".value"].value.trim() || form.elements[p + ".skipped"].value) ||
      form.elements.note.value.trim() || [...form.querySelectorAll(".more input")].some((box) => box.value.trim());
    const said = [...document.querySelectorAll("#doubts .notice:not(.own)")].map((p) => p.textContent);
    let strange = (said.length > 0 ? said : await odd(form) || doubts(form)).join(" ");
    if (!filled) strange = "Nothing is typed yet. One number is enough.";
    const wrong = form.querySelector(".wrong .error:not(:empty)");
    if (wrong) {
      wrong.scrollIntoView({ block: "center" });
      return;
    }
    const typed = [...form.querySelectorAll("input:not([type=hidden]), select, textarea")].map((box) => box.value).join("\n");
    if (strange && typed !== sure || !filled) {
      sure = typed; // pressed again with the same numbers, they are right
      const notice = Object.assign(document.createElement("p"), { className: "notice bad own", textContent: strange });
      document.getElementById("doubts").replaceChildren(notice);
      form.querySelector("button.full").textContent = filled ? "It is right, keep it" : "Keep the reading";
      notice.scrollIntoView({ block: "center" });
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
      document.getElementById("state").textContent = now.state === "sent" ? "Sent" : now.state === "two versions" ? "Two versions" : "On this phone";
      document.getElementById("more").textContent = now.why || (now.state === "sent" ? "It stands in the site's story." : "It is sent by itself when there is signal. You can close this page.");
    };
    document.addEventListener("readings", show);
    await count();
    await show();
    await send();
  };
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
    const room = share > 0.8 ? "This phone is nearly full: send what is here before you take more. " : "";
    return room + (lasts ? "The browser keeps what is here until it is sent." : "The browser may clear what is here when the phone runs out of room, or when the page is not opened for weeks: install it on the home screen, and send soon.");
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
      const said = new URLSearchParams(one.said);
      const values = ["raw", "permeate", "polished"].map((p) => said.get(p + ".value") ? said.get(p + ".value") + " " + said.get(p + ".unit") : said.get(p + ".skipped") || "").filter(Boolean).join(" · ") || (said.get("signed") ? "first day, signed " + said.get("signed") : "");
      const row = document.createElement("li");
      const state = Object.assign(document.createElement("span"), { className: one.state === "sent" ? "state" : "state today", textContent: one.state });
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
      say("span", "state today", one.state);
      say("strong", "", one.name);
      say("span", "", one.words ? "photo: " + one.words : "photo");
      say("span", "muted", clock(one.at) + (one.why ? ": " + one.why : ""));
      if (one.state === "refused") {
        const button = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: "Let it go" });
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
