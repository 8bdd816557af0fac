// A worker for one long computation. In: { input: text }. Out: { progress },
// then { result: text } or { error: text }. It is cancelled by ending it.
"use strict";
/* global Go */
const at = new URL(location.href);
const folder = at.pathname.slice(0, at.pathname.lastIndexOf("/") + 1);
importScripts(folder + "wasm_exec.js");
self.pocketRole = "task";
self.pocketFailed = text => postMessage({ error: text });
const ready = new Promise(done => { self.pocketReady = done; });
(async () => {
  const go = new Go();
  const { instance } = await WebAssembly.instantiateStreaming(fetch(folder + "pocket.wasm"), go.importObject);
  go.run(instance).then(() => postMessage({ error: "the computation ended early: it may have needed more memory than this phone has" }));
})().catch(err => postMessage({ error: "this phone cannot start the computation: " + err.message }));
onmessage = async e => {
  const program = await ready;
  program.run(e.data.input, p => postMessage({ progress: JSON.parse(p) })).then(result => postMessage({ result }), err => postMessage({ error: err.message }));
};
