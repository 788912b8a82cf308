// Surveys that were typed on this phone, one to a site, until the office has
// them. Who presses Save without signal need not come back: it is sent by itself
// when there is signal.
"use strict";

const drafts = (() => {
  let opened;
  const work = (mode, run) => {
    opened ||= new Promise((yes, no) => {
      const asked = indexedDB.open("rinsewright-drafts" + root, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("surveys", { keyPath: "to" });
      asked.onsuccess = () => yes(asked.result);
      asked.onerror = () => no(asked.error);
    });
    return opened.then((db) => new Promise((yes, no) => {
      const tx = db.transaction("surveys", mode, { durability: "strict" });
      const asked = run(tx.objectStore("surveys"));
      tx.oncomplete = () => yes(asked.result);
      tx.onabort = tx.onerror = () => no(tx.error);
    }));
  };
  const all = () => work("readonly", (store) => store.getAll());
  const get = (to) => work("readonly", (store) => store.get(to));
  const put = (one) => work("readwrite", (store) => store.put(one));
  const drop = (to) => work("readwrite", (store) => store.delete(to));
  const there = (one) => one.state === "sent" || one.state === "two versions";

  // said is a draft as the survey's form would say it, what was touched alone.
  const said = (one) => {
    const form = new URLSearchParams(one.set);
    for (const part of one.remove) form.append("remove", part);
    form.set("rev", one.rev);
    form.set("decimal", one.decimal || "point");
    return form;
  };

  // sendOne sends a draft. What was typed meanwhile stays a draft.
  const sendOne = async (one) => {
    const answer = await fetch(one.to, { method: "POST", body: said(one), headers: { "X-Part": "phone" } });
    const receipt = answer.headers.get("Content-Type")?.includes("json") ? await answer.json() : { why: window.said("The office did not answer as it should.") };
    const now = await get(one.to);
    if (!now || now.at !== one.at) return;
    one.state = { 200: "sent", 409: "two versions" }[answer.status] || "on this phone";
    one.why = receipt.why || "";
    if (answer.status === 422 || answer.status === 404) one.pressed = false; // somebody has to look
    await put(one);
  };

  return {
    all, get, put, drop, there, said,
    waiting: async () => (await all()).filter((one) => !there(one)),
    send: async () => {
      for (const one of await all()) if (one.pressed && !there(one)) await sendOne(one);
    },
  };
})();
