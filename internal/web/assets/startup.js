// The first day takes hours: what is typed, drawn and photographed stays on this
// device until it is signed, what a reading proves stands beside it, and a day
// that is signed without signal is sent when there is some.
"use strict";

for (const form of document.querySelectorAll("form[data-draft]")) {
  const name = "first-day " + form.dataset.draft, to = form.getAttribute("action");
  if (document.querySelector("[data-signed]")) localStorage.removeItem(name);
  const kept = JSON.parse(localStorage.getItem(name) || "[]");
  for (const [key, value] of kept) {
    const field = form.elements[key];
    if (field && field.type !== "hidden" && !document.querySelector('[role="alert"]')) field.value = value;
  }
  const keepDraft = () => localStorage.setItem(name, JSON.stringify([...new FormData(form)].filter(([key, value]) => value !== "" && key !== "decimal")));
  form.addEventListener("input", keepDraft);
  const into = document.getElementById("judged");
  const beside = () => {
    const says = new Map([...into.querySelectorAll("[data-says]")].map((p) => [p.dataset.says, p.textContent]));
    for (const slot of form.querySelectorAll("[data-verdict]")) slot.textContent = says.get(slot.dataset.verdict) || "";
  };
  new MutationObserver(beside).observe(into, { childList: true });
  beside();
  if (form.elements.drawn) {
    glass(form, keepDraft);
    taken(form, keepDraft);
    signing(form, name, to);
  }
  if (kept.length > 0 && form.dataset.live) form.dispatchEvent(new Event("input", { bubbles: true }));
}

// glass is signed with a finger, a pen or a mouse: a stroke a line, places right
// and down on a board of 1000 by 300.
function glass(form, changed) {
  const board = form.querySelector("canvas.glass"), text = form.elements.drawn, pen = board.getContext("2d");
  const longest = 400, nearest = 4;
  let strokes = text.value.split("\n").filter(Boolean).map((line) => line.split(" ").map((at) => at.split(",").map(Number)));
  let stroke;
  const draw = () => {
    pen.clearRect(0, 0, board.width, board.height);
    pen.strokeStyle = getComputedStyle(board).color;
    pen.lineWidth = 4;
    pen.lineCap = pen.lineJoin = "round";
    for (const one of strokes) {
      pen.beginPath();
      pen.moveTo(...one[0]);
      for (const at of one.length > 1 ? one.slice(1) : [[one[0][0] + 1, one[0][1]]]) pen.lineTo(...at);
      pen.stroke();
    }
  };
  const keep = () => {
    text.value = strokes.map((one) => one.map((at) => at.join(",")).join(" ")).join("\n");
    changed();
  };
  const place = (e) => {
    const box = board.getBoundingClientRect(), held = (x, most) => Math.min(Math.max(Math.round(x), 0), most);
    return [held((e.clientX - box.left) / box.width * board.width, board.width), held((e.clientY - box.top) / box.height * board.height, board.height)];
  };
  board.addEventListener("pointerdown", (e) => {
    if (e.button !== 0) return;
    board.setPointerCapture(e.pointerId);
    strokes.push(stroke = [place(e)]);
    draw();
  });
  board.addEventListener("pointermove", (e) => {
    if (!stroke) return;
    const between = e.getCoalescedEvents?.() || [];
    for (const one of between.length ? between : [e]) {
      const at = place(one), last = stroke[stroke.length - 1];
      if (Math.hypot(at[0] - last[0], at[1] - last[1]) < nearest) continue;
      stroke.push(at);
      if (stroke.length === longest) strokes.push(stroke = [at]);
    }
    draw();
  });
  for (const ends of ["pointerup", "pointercancel"]) board.addEventListener(ends, () => {
    if (stroke) keep();
    stroke = undefined;
  });
  form.querySelector("[data-clear]").addEventListener("click", () => {
    strokes = [];
    keep();
    draw();
  });
  draw();
}

// taken names the photos of the day in the record, by their digest.
function taken(form, changed) {
  const list = document.getElementById("taken"), text = form.elements.photos;
  const all = () => text.value.split("\n").filter(Boolean);
  const show = () => list.replaceChildren(...all().map((line) => {
    const row = document.createElement("li"), button = document.createElement("button");
    row.append(line.slice(65) || "photo", " ");
    Object.assign(button, { type: "button", className: "quiet", textContent: said("Not of this day") });
    button.addEventListener("click", () => set(all().filter((one) => one !== line)));
    row.append(button);
    return row;
  }));
  const set = (lines) => {
    text.value = [...new Set(lines)].join("\n");
    changed();
    show();
  };
  form.addEventListener("photokept", (e) => set([...all().filter((line) => !line.startsWith(e.detail.id)), (e.detail.id + " " + e.detail.shows).trim()]));
  show();
}

// signing sends the day, and keeps it here when there is no signal.
function signing(form, name, to) {
  const says = document.getElementById("waiting"), button = form.querySelector("button.full");
  const tell = (words) => {
    says.textContent = words;
    says.hidden = !words;
    if (words) says.scrollIntoView({ block: "center" });
  };
  const look = async () => {
    const mine = (await keeper.all()).filter((one) => one.to === to).sort((a, b) => a.at - b.at).pop();
    if (!mine) return;
    button.disabled = mine.state === "on this phone";
    if (mine.state === "on this phone") tell(said("Signed on this phone. It is sent by itself when there is signal."));
    if (mine.state === "refused") tell(said("The office could not take the signed day: %s What was typed is still here: put it right and sign again.", mine.why));
    if (mine.state === "sent" || mine.state === "refused") await keeper.drop(mine.key);
    if (mine.state === "sent") {
      localStorage.removeItem(name);
      location.href = to + "?saved";
    }
  };
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    button.disabled = true;
    try {
      const answer = await fetch(to, { method: "POST", body: new URLSearchParams(new FormData(form)), headers: { "X-Part": "phone" } });
      if (answer.ok) location.href = to + "?saved";
      else form.submit(); // the office's own words, or its question who asks
    } catch { // no signal
      try {
        await keeper.keep(to, form.dataset.name, new FormData(form), []);
        storage.ask();
        await count();
        await look();
      } catch { // this browser keeps nothing
        button.disabled = false;
        tell(said("There is no signal, and this browser keeps nothing. Do not close this page; sign again when there is signal."));
      }
    }
  });
  document.addEventListener("readings", look);
  look().catch(() => {});
}
