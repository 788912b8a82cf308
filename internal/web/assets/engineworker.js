// Runs the engine beside the page, so that the page never waits for it.
"use strict";

onmessage = async (e) => {
  const { start, number, question } = e.data;
  if (!start) {
    const begun = performance.now();
    const answer = rinsewrightAnswer(question);
    postMessage({ number, answer, took: performance.now() - begun });
    return;
  }
  try {
    importScripts(start.script);
    const go = new Go();
    const module = start.module || await WebAssembly.compileStreaming(fetch(start.wasm));
    go.run(await WebAssembly.instantiate(module, go.importObject));
    postMessage({ ready: true, module });
  } catch (err) {
    postMessage({ failed: String(err) });
  }
};
