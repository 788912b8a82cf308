// A device makes a passkey and signs in with it; this script carries what the
// server asks and the device answers.
"use strict";

async function post(path, body, type) {
  const answer = await fetch(path, { method: "POST", body, headers: type ? { "Content-Type": type, "X-Part": "1" } : { "X-Part": "1" } });
  if (!answer.ok) {
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    throw new Error(page.querySelector("main")?.innerText.trim() || String(answer.status));
  }
  return answer.json();
}

// spoken puts what a browser throws into the words of the page.
function spoken(error) {
  if (error.name === "InvalidStateError") return said("This device has a passkey already.");
  if (error.name === "NotAllowedError" || error.name === "AbortError") return said("The device did not say yes.");
  return error.message;
}

// ceremony begins where the form points, and ends where more is added.
function ceremony(form, ask, more) {
  form.hidden = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const says = form.querySelector(".error"), begin = form.getAttribute("action");
    says.textContent = "";
    try {
      const { publicKey } = await post(begin, new URLSearchParams(new FormData(form)));
      const key = await ask(publicKey);
      const end = begin.replace(/\/begin$/, "") + "?" + new URLSearchParams(more());
      location.assign((await post(end, JSON.stringify(key), "application/json")).next);
    } catch (error) {
      says.textContent = spoken(error);
    }
  });
}

const made = document.getElementById("make-passkey"), signed = document.getElementById("sign-passkey");
if (window.PublicKeyCredential?.parseCreationOptionsFromJSON) {
  if (made) ceremony(made, (o) => navigator.credentials.create({ publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(o) }), () => ({ name: made.elements.name.value }));
  if (signed) ceremony(signed, (o) => navigator.credentials.get({ publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(o) }), () => ({ next: signed.elements.next.value }));
}
