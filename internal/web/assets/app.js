// A form with data-live asks the server while someone types, and shows the
// answer in the element named by data-into. Without this script every page
// works by its buttons.
"use strict";

// root is the path under which a proxy shows the pages.
const root = (document.documentElement.dataset.root || "/").slice(0, -1);

// said gives a sentence in the page's language, with values put in for each %s
// or, where the language orders them otherwise, %[2]s.
function said(sentence, ...values) {
  const words = typeof sentences === "undefined" ? sentence : sentences[sentence] || sentence;
  let next = 0;
  return words.replace(/%(?:\[(\d)\])?[sd]/g, (_, n) => values[n ? n - 1 : next++]);
}
const language = document.documentElement.lang;

// The words of a state, which scripts keep in English.
const stateWords = {
  "on this phone": said("on this phone"), sent: said("sent"), "two versions": said("two versions"), refused: said("refused"),
  fine: said("fine"), due: said("due"), today: said("today"), "not known": said("not known"),
};

for (const form of document.querySelectorAll("form[data-live]")) {
  const into = document.getElementById(form.dataset.into);
  let timer, asked;
  const ask = async () => {
    if (asked) asked.abort();
    asked = new AbortController();
    const get = form.method === "get";
    const typed = new URLSearchParams(new FormData(form));
    try {
      const answer = await fetch(get ? form.dataset.live + "?" + typed : form.dataset.live, {
        method: get ? "GET" : "POST", body: get ? undefined : typed, headers: { "X-Part": "1" }, signal: asked.signal,
      });
      if (!answer.ok) return;
      into.innerHTML = await answer.text();
      tell(form, into);
    } catch (e) {
      if (e.name !== "AbortError") form.dispatchEvent(new Event("nosignal"));
    }
  };
  form.addEventListener("input", (e) => {
    const slot = e.target.name && form.querySelector(`[data-wrong="${CSS.escape(e.target.name)}"]`);
    if (slot) mark(slot, ""); // until the answer says otherwise
    clearTimeout(timer);
    timer = setTimeout(ask, 250);
  });
  if (form.method === "get") form.addEventListener("submit", (e) => { e.preventDefault(); ask(); });
}

// tell puts what is wrong beside its field.
function tell(form, answer) {
  const wrong = new Map([...answer.querySelectorAll("[data-about]")].map((p) => [p.dataset.about, p.textContent]));
  for (const slot of form.querySelectorAll("[data-wrong]")) {
    mark(slot, wrong.get(slot.dataset.wrong) || "");
  }
}

function mark(slot, says) {
  slot.textContent = says;
  const box = slot.closest(".field, fieldset");
  if (box) box.classList.toggle("wrong", says !== "");
}

// A reading was taken when its page was opened, by this device's clock.
for (const form of document.querySelectorAll("form[data-fresh]")) {
  form.elements.taken.value = Date.now();
  form.elements.offset.value = -new Date().getTimezoneOffset();
}
