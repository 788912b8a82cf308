// The clock of a run: readings of the strength are noted as they come, the slope
// test judges them with the rest of the page, and the last one is written down
// when it stands still. What is noted stays with the page's draft.
"use strict";

for (const box of document.querySelectorAll("[data-watch]")) watch(box, box.closest("form"));

function watch(box, form) {
  const every = 150; // seconds between readings
  const fresh = 12 * 3600e3; // ms after which a clock is yesterday's
  const began = form.elements["watch.began"], noted = form.elements.watch;
  const clock = box.querySelector("[data-clock]"), value = box.querySelector("[data-now]"), says = box.querySelector("[data-says-steady]"), list = box.querySelector("ol");
  const lines = () => noted.value.split("\n").filter(Boolean);
  const minutes = () => (Date.now() - Number(began.value)) / 60e3;
  const time = (s) => Math.floor(s / 60) + ":" + String(Math.floor(s % 60)).padStart(2, "0");
  let since = null; // minutes at which it first stood still
  const changed = () => form.dispatchEvent(new Event("input", { bubbles: true }));
  const show = () => {
    const runs = began.value !== "" && Date.now() - Number(began.value) < fresh;
    box.querySelector("[data-begin]").hidden = runs;
    for (const part of box.querySelectorAll("[data-running]")) part.hidden = !runs;
    list.replaceChildren(...lines().map((line) => {
      const [at, ...what] = line.split(" "), row = document.createElement("li");
      row.textContent = what.join(" ") + " · " + time(60 * at);
      return row;
    }));
    if (!runs) return;
    const last = Number((lines().pop() || "0").split(" ")[0]), left = every - 60 * (minutes() - last);
    clock.textContent = time(60 * minutes()) + (left > 0 ? " · −" + time(left) : "");
    box.classList.toggle("now", left <= 0);
    if (since !== null) box.querySelector("[data-since]").textContent = Math.max(0, Math.floor(minutes() - since));
  };
  const judge = () => {
    const told = document.querySelector("#judged [data-steady]"), state = told ? told.dataset.steady : "";
    says.textContent = told ? told.textContent : "";
    const still = state === "steady";
    if (still && since === null) since = Number((lines().pop() || "0").split(" ")[0]);
    if (!still) since = null;
    box.querySelector("[data-steady-since]").hidden = !still;
    show();
  };
  box.querySelector("[data-begin]").addEventListener("click", () => {
    began.value = Date.now();
    noted.value = "";
    since = null;
    changed();
    show();
    value.focus();
  });
  const note = () => {
    const now = value.value.trim().replace(/\s+/g, " ");
    if (now === "" || !/^[<\d]/.test(now)) return value.focus();
    noted.value = [...lines(), minutes().toFixed(2) + " " + (/[a-zµ]/i.test(now) ? now : now + " ppm")].join("\n");
    value.value = "";
    changed();
    show();
    value.focus();
  };
  box.querySelector("[data-note]").addEventListener("click", note);
  value.addEventListener("keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); note(); } });
  box.querySelector("[data-write]").addEventListener("click", () => {
    const [at, ...what] = (lines().pop() || "").split(" "), into = box.dataset.watch;
    if (!what.length) return;
    form.elements[into].value = what.join(" ");
    form.elements[into + ".after"].value = Math.round(at);
    form.elements["done.steady"].value = Math.round(at) + " min";
    changed();
    form.elements[into].focus();
  });
  new MutationObserver(judge).observe(document.getElementById("judged"), { childList: true });
  setInterval(show, 1000);
  judge();
}
