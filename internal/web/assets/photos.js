// Photos are made small here, without the place where they were taken, kept on
// this phone, and sent in pieces after the readings: the office is asked which
// pieces it has, so that a photo goes on where it stopped.
"use strict";

const photos = (() => {
  const longest = 1600;

  // small draws a photo anew, upright; nothing of the file but its pixels stays.
  const small = async (file) => {
    const whole = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = Math.min(1, longest / Math.max(whole.width, whole.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(whole.width * scale));
    canvas.height = Math.max(1, Math.round(whole.height * scale));
    const pen = canvas.getContext("2d");
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(whole, 0, 0, canvas.width, canvas.height);
    whole.close();
    return new Promise((yes, no) => canvas.toBlob((b) => b ? yes(b) : no(new Error("not drawn")), "image/jpeg", 0.8));
  };

  const hash = async (bytes) => [...new Uint8Array(await crypto.subtle.digest("SHA-256", bytes))].map((x) => x.toString(16).padStart(2, "0")).join("");

  const all = () => keeper.work("readonly", ["photos"], (tx, answer) => {
    const got = tx.objectStore("photos").getAll();
    got.onsuccess = () => answer(got.result);
  });
  const put = (one) => keeper.work("readwrite", ["photos"], (tx) => tx.objectStore("photos").put(one));
  const drop = (key) => keeper.work("readwrite", ["photos"], (tx) => tx.objectStore("photos").delete(key));

  // keep puts a photo on this phone. The time is that of the file.
  const keep = async (to, name, file, words) => {
    const bytes = await (await small(file)).arrayBuffer();
    const id = await hash(bytes);
    const at = file.lastModified || Date.now();
    await put({ key: to + " " + id, id, to, name, words, at, offset: -new Date(at).getTimezoneOffset(), bytes, state: "on this phone", why: "" });
    return id;
  };

  const onlyWiFi = () => localStorage.getItem("photos over Wi-Fi only") === "yes";
  const costly = () => onlyWiFi() && navigator.connection && navigator.connection.type && !["wifi", "ethernet"].includes(navigator.connection.type);

  // sendOne sends what the office lacks of one photo.
  const sendOne = async (one) => {
    const about = new URLSearchParams({ photo: one.id, bytes: one.bytes.byteLength, words: one.words, taken: one.at, offset: one.offset });
    const say = async (answer) => {
      const told = answer.headers.get("Content-Type")?.includes("json") ? await answer.json() : {};
      if (answer.status === 422) { one.state = "refused"; one.why = told.why || ""; await put(one); }
      return answer.ok ? told : undefined;
    };
    const ask = async () => say(await fetch(one.to, { method: "POST", body: about, headers: { "X-Part": "phone" } }));
    let office = await ask();
    for (let round = 0; office && !office.kept && round < 3; round++) {
      for (let n = 0; n * office.piece < one.bytes.byteLength; n++) {
        if (office.have.includes(n)) continue;
        const piece = one.bytes.slice(n * office.piece, (n + 1) * office.piece);
        if (!await say(await fetch(`${one.to}/${one.id}/${n}`, { method: "POST", body: piece, headers: { "X-Part": "phone", "Content-Type": "application/octet-stream" } }))) return;
      }
      office = await ask();
    }
    if (office && office.kept) await drop(one.key);
  };

  return {
    all, drop, keep, onlyWiFi,
    waiting: async () => (await all()).filter((one) => one.state !== "refused"),
    send: async () => {
      if (costly()) return;
      for (const one of await all()) if (one.state !== "refused") await sendOne(one);
    },
  };
})();

// A photo is kept as soon as it is chosen, and never in the way of a reading.
for (const box of document.querySelectorAll("input[data-photos]")) {
  const says = document.getElementById(box.dataset.says);
  if (!window.isSecureContext || !window.indexedDB) {
    says.textContent = said("Photos need an encrypted line: open these pages by https.");
    box.disabled = true;
    continue;
  }
  box.addEventListener("change", async () => {
    const files = [...box.files];
    box.value = "";
    let kept = 0, odd = 0;
    for (const file of files) {
      try {
        const words = document.getElementById(box.dataset.words);
        const shows = words ? words.value.trim() : "";
        const id = await photos.keep(box.dataset.photos, box.dataset.name, file, shows);
        box.dispatchEvent(new CustomEvent("photokept", { bubbles: true, detail: { id, shows } }));
        kept++;
      } catch {
        odd++;
      }
      says.textContent = [kept && (kept === 1 ? said("One photo is on this phone; sent when there is signal.") : said("%s photos are on this phone; sent when there is signal.", kept)), odd && said("%s could not be read as a picture.", odd)].filter(Boolean).join(" ");
    }
    await count();
    await send();
  });
}
