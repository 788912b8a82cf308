// The first day takes hours: what is typed stays on this device until it is
// signed, and what a reading proves stands beside it.
"use strict";

for (const form of document.querySelectorAll("form[data-draft]")) {
  const name = "first-day " + form.dataset.draft;
  if (document.querySelector('[role="status"]')) localStorage.removeItem(name); // signed
  const kept = JSON.parse(localStorage.getItem(name) || "[]");
  for (const [key, value] of kept) {
    const field = form.elements[key];
    if (field && field.type !== "hidden" && !document.querySelector('[role="alert"]')) field.value = value;
  }
  form.addEventListener("input", () => {
    localStorage.setItem(name, JSON.stringify([...new FormData(form)].filter(([key, value]) => value !== "" && key !== "decimal")));
  });
  const into = document.getElementById("judged");
  const beside = () => {
    const says = new Map([...into.querySelectorAll("[data-says]")].map((p) => [p.dataset.says, p.textContent]));
    for (const slot of form.querySelectorAll("[data-verdict]")) slot.textContent = says.get(slot.dataset.verdict) || "";
  };
  new MutationObserver(beside).observe(into, { childList: true });
  beside();
  if (kept.length > 0 && form.dataset.live) form.dispatchEvent(new Event("input", { bubbles: true }));
}
