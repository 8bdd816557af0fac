// Runs a Go test that was built for js/wasm in Chromium, with the store's script
// beside it: node conform.mjs TEST.wasm WASM_EXEC.js IDB.js
import http from "node:http";
import { readFileSync } from "node:fs";
import { browser } from "./lib.mjs";

const [test, exec, idb] = process.argv.slice(2);
const files = {
  "/": ["text/html", "<!doctype html><title>test</title><script src=exec.js></script><script src=idb.js></script>"],
  "/exec.js": ["text/javascript", readFileSync(exec)], "/idb.js": ["text/javascript", readFileSync(idb)], "/test.wasm": ["application/wasm", readFileSync(test)],
};
const server = http.createServer((q, r) => { const f = files[q.url]; if (!f) { r.writeHead(404); r.end(); return; } r.writeHead(200, { "Content-Type": f[0] }); r.end(f[1]); });
await new Promise(r => server.listen(0, "127.0.0.1", r));
const b = await browser();
const page = await b.newPage();
const said = [];
page.on("console", m => said.push(m.text()));
await page.goto("http://127.0.0.1:" + server.address().port);
const code = await page.evaluate(async () => {
  const go = new Go();
  go.argv = ["test", "-test.v", "-test.run=^Test"];
  let code = 0;
  go.exit = c => { code = c; };
  const { instance } = await WebAssembly.instantiateStreaming(fetch("test.wasm"), go.importObject);
  await go.run(instance);
  return code;
});
const text = said.join("\n");
const n = w => (text.match(new RegExp("--- " + w + ":", "g")) || []).length;
if (code !== 0 || n("PASS") === 0) console.log(text);
console.log(`in Chromium: ${n("PASS")} tests passed, ${n("FAIL")} failed, ${n("SKIP")} skipped`);
await b.close(); server.close();
process.exit(code || n("FAIL") || n("SKIP") || !n("PASS") ? 1 : 0);
