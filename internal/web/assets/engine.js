// Asks the engine: the one in this browser once it runs, otherwise the
// server's. Both are the same code and say the same.
"use strict";

const engine = (() => {
  const links = document.documentElement.dataset;
  let module; // the compiled engine, for the second worker
  let broken = false;

  // A hand asks one thing at a time. A question that came while it was busy
  // replaces the one that waits: only the last number typed matters.
  const hand = () => {
    let worker, ready, asked, waiting, number = 0;
    const next = () => {
      asked = waiting;
      waiting = undefined;
      if (asked) worker.postMessage({ number: asked.number, question: asked.question });
    };
    const fail = () => {
      broken = true;
      for (const one of [asked, waiting]) if (one) one.no(new Error("no engine"));
      asked = waiting = undefined;
    };
    const begin = () => {
      worker = new Worker(links.worker);
      ready = false;
      worker.onerror = fail;
      worker.onmessage = (e) => {
        if (e.data.failed) return fail();
        if (e.data.ready) {
          module = e.data.module;
          ready = true;
          return next();
        }
        if (asked && e.data.number === asked.number) asked.yes({ ...JSON.parse(e.data.answer), took: e.data.took, by: "this browser" });
        next();
      };
      worker.postMessage({ start: { script: links.script, wasm: links.wasm, module } });
    };
    return {
      begin: () => { if (!worker) begin(); },
      ready: () => ready && !broken,
      ask: (question) => new Promise((yes, no) => {
        if (waiting) waiting.no(new Error("replaced"));
        waiting = { number: ++number, question: JSON.stringify(question), yes, no };
        if (!worker) begin();
        else if (ready && !asked) next();
      }),
      // drop gives up what is being worked on, to be free for the next.
      drop: () => {
        if (!asked && !waiting) return;
        for (const one of [asked, waiting]) if (one) one.no(new Error("replaced"));
        asked = waiting = undefined;
        if (ready) {
          worker.terminate();
          begin();
        }
      },
    };
  };
  const quick = hand(), thorough = hand();
  const here = Boolean(links.wasm && window.Worker && window.WebAssembly);

  let server;
  const askServer = async (question) => {
    if (server) server.abort();
    server = new AbortController();
    const begun = performance.now();
    const answer = await fetch(root + "/answer", { method: "POST", body: JSON.stringify(question), headers: { "X-Part": "1", "Content-Type": "application/json" }, signal: server.signal });
    if (!answer.ok) throw new Error("the server did not answer");
    return { ...await answer.json(), took: performance.now() - begun, by: "the server" };
  };

  if (here) quick.begin();
  return {
    // ask answers with what is there first: without signal only this browser's
    // engine can, and until it runs the server is quicker.
    ask: async (question) => {
      const thoroughly = question.ask !== "sketch";
      const worker = thoroughly ? thorough : quick;
      if (thoroughly) worker.drop();
      if (here && !broken && (quick.ready() || !navigator.onLine)) {
        try {
          return await worker.ask(question);
        } catch (e) {
          if (e.message === "replaced") throw e;
        }
      }
      try {
        return await askServer(question);
      } catch (e) {
        if (e.name === "AbortError") throw new Error("replaced");
        if (here && !broken) return worker.ask(question);
        throw e;
      }
    },
  };
})();
