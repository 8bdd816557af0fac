// The book in a phone with no signal: installed, host dead, browser restarted,
// worker stopped in the middle of a form, storage refused, two tabs, a new build.
// Counts before and after each fault. `make browser` runs it where the program
// has its phone's part.
import { Host, phone, faults, must, look, watch, fault, launchKept, send, browser } from "./lib.mjs";
import { count, picture } from "./pocketlib.mjs";
import { Proxy } from "./proxy.mjs";
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const program = process.argv[2];
const began = Date.now();
const say = (...all) => console.log(`[${((Date.now() - began) / 1000).toFixed(1)} s]`, ...all);

const note = async (page, at, text) => { await page.goto(at + "/note"); await page.fill('[name="text"]', text); await send(page); };

async function install(page, url) {
  await page.goto(url + "/pocket");
  await page.click("#keep");
  await page.waitForSelector("#open:not([hidden])");
}

async function openJob(page, url, part) {
  await page.goto(url + "/new");
  await page.fill('[name="j.machine.kind"]', "screen"); await page.fill('[name="i.part"]', part); await page.fill('[name="i.thickness"]', "12 mm"); await page.fill('[name="i.crack.length"]', "90 mm");
  await send(page);
  return page.url().replace(/\/answer.*/, "");
}

async function faultsOfThePhone() {
  const host = new Host(program);
  const proxy = new Proxy((await host.start()).replace("http://", ""));
  const url = await proxy.start();
  const dir = mkdtempSync(join(tmpdir(), "soundmetal-phone-"));
  let ctx = await launchKept(dir, phone);
  let page = await ctx.newPage(); watch(page, /503|507|ERR_/); page.setDefaultTimeout(20000);
  await page.goto(url + "/pocket");
  await page.waitForSelector("#keep:not([hidden])");
  await look(page, "pocket");
  const t0 = Date.now();
  await install(page, url);
  say("installed in", Date.now() - t0, "ms");
  await look(page, "pocket-kept");

  // the host dies
  proxy.dead = true;
  const at = await openJob(page, url, "side plate");
  must(/May I touch it/.test(await page.textContent("h1")), "a call is answered with the host dead");
  must(/on this phone/.test(await page.textContent("footer")), "the page says where it is saved");
  await note(page, at, "first note");
  let before = await count(page);
  await page.reload();
  must((await page.textContent("#main")).includes("first note"), "the note is there after a reload with the host dead");

  // the browser is restarted
  await ctx.close();
  ctx = await launchKept(dir, phone);
  page = await ctx.newPage(); watch(page, /503|507|ERR_/); page.setDefaultTimeout(20000);
  const t1 = Date.now();
  await page.goto(at);
  say("first page after a restart of the browser, host dead:", Date.now() - t1, "ms");
  must((await page.textContent("#main")).includes("first note"), "the note is there after a restart of the browser");
  let after = await count(page);
  must(after.entries === before.entries && after.files === before.files, `restart: ${before.entries} entries before, ${after.entries} after`);
  say(`restart of the browser: ${before.entries} entries, ${before.files} files before and after`);

  // the worker is stopped in the middle of forms
  const cdp = await ctx.newCDPSession(page);
  await cdp.send("ServiceWorker.enable");
  before = await count(page);
  let acknowledged = 0, lost = 0;
  const stops = 12;
  for (let i = 0; i < stops; i++) {
    await page.goto(at + "/note");
    await page.fill('[name="text"]', "stopped " + i);
    const form = await page.evaluate(() => { const f = document.querySelector("form.big"); return { action: f.action, body: new URLSearchParams(new FormData(f)).toString() }; });
    const sent = page.evaluate(async ({ action, body }) => {
      try { const r = await fetch(action, { method: "POST", body, headers: { "Content-Type": "application/x-www-form-urlencoded" }, signal: AbortSignal.timeout(15000) }); return r.status; } catch { return 0; }
    }, form);
    await new Promise(r => setTimeout(r, i * 4));
    await cdp.send("ServiceWorker.stopAllWorkers");
    let status = await sent;
    if (status !== 200) { // the user sends it again, as it is
      lost++;
      status = await page.evaluate(async ({ action, body }) => (await fetch(action, { method: "POST", body, headers: { "Content-Type": "application/x-www-form-urlencoded" } })).status, form);
    }
    if (status === 200) acknowledged++;
  }
  after = await count(page);
  must(acknowledged === stops && after.entries === before.entries + stops, `worker stopped: ${stops} forms, ${acknowledged} acknowledged, ${after.entries - before.entries} entries`);
  say(`worker stopped in the middle of ${stops} forms: ${before.entries} entries before, ${after.entries} after, ${acknowledged} acknowledged, ${lost} sent again by hand, none twice`);

  // the storage is refused, as a full phone refuses it (the driver's own limit is not held by this browser)
  await page.goto(at + "/photo");
  await page.setInputFiles('input[type="file"]', { name: "crack.jpg", mimeType: "image/jpeg", buffer: await picture(page) });
  await page.waitForTimeout(300);
  before = await count(page);
  const worker = () => ctx.serviceWorkers().at(-1);
  await worker().evaluate(() => { self.trueAdd = IDBObjectStore.prototype.add; IDBObjectStore.prototype.add = function () { throw new DOMException("no room", "QuotaExceededError"); }; });
  await Promise.all([page.waitForNavigation(), page.locator("form.big .send button.main").first().click()]);
  const refused = await page.textContent("#main");
  after = await count(page);
  must(after.entries === before.entries && after.files === before.files && /no room left|disk is full|nothing of this form was saved/i.test(refused), `storage refused: ${after.entries - before.entries} entries came in, the page says: ${refused.slice(0, 200)}`);
  say(`storage refused: the photo was not taken, and the page said so; ${before.entries} entries, ${before.files} files before and ${after.entries}, ${after.files} after`);
  await look(page, "no-room");
  await worker().evaluate(() => { IDBObjectStore.prototype.add = self.trueAdd; });
  await note(page, at, "room again");
  must((await count(page)).entries === after.entries + 1, "with room again it is saved");

  // two tabs at once, and one form sent from both
  const other = await ctx.newPage(); watch(other, /503|507|ERR_/); other.setDefaultTimeout(20000);
  before = await count(page);
  await page.goto(at + "/note"); await other.goto(at + "/note");
  const forms = await Promise.all([page, other].map((p, i) => p.evaluate(i => { const f = document.querySelector("form.big"); f.querySelector("[name=text]").value = "tab " + i; return new URLSearchParams(new FormData(f)).toString(); }, i)));
  const both = (p, body) => p.evaluate(async ([action, body]) => (await fetch(action, { method: "POST", body, headers: { "Content-Type": "application/x-www-form-urlencoded" } })).status, [at + "/note", body]);
  const answers = await Promise.all([both(page, forms[0]), both(other, forms[1]), both(other, forms[0]), both(page, forms[1]), both(page, forms[0])]);
  after = await count(page);
  must(answers.every(s => s === 200) && after.entries === before.entries + 2, `two tabs: answers ${answers}, ${after.entries - before.entries} entries`);
  say(`two tabs, two forms, each sent two or three times at once: ${before.entries} entries before, ${after.entries} after`);
  await page.goto(at); await other.goto(at);
  const strip = t => t.replace(/\s+/g, " ");
  must(strip(await page.textContent("#main")) === strip(await other.textContent("#main")), "both tabs show the same");
  await other.close();

  // the heat worked out in a worker, host dead
  await page.goto(at + "/heat");
  must(await page.locator("form[data-worker]").count() === 1, "the heat can be worked out on the phone");
  before = await count(page);
  await page.locator("form[data-worker] button.main").click();
  await page.waitForSelector("#worker:not([hidden])");
  await look(page, "heat-worker");
  await page.click("#worker [data-cancel]");
  await page.waitForSelector("#worker", { state: "hidden" });
  must((await count(page)).entries === before.entries, "a cancelled computation leaves nothing");
  await page.reload();
  const t2 = Date.now();
  await Promise.all([page.waitForNavigation({ timeout: 120000 }), page.locator("form[data-worker] button.main").click()]);
  after = await count(page);
  must(after.entries === before.entries + 1 && /Worked out/.test(await page.textContent("#main")), "the heat is in the book");
  say(`the heat of a place, coarse, in a worker: ${Date.now() - t2} ms with the start of the worker; ${before.entries} entries before, ${after.entries} after`);
  await look(page, "heat");

  // a photo with no signal
  await page.goto(at + "/photo");
  await page.setInputFiles('input[type="file"]', { name: "crack.jpg", mimeType: "image/jpeg", buffer: await picture(page) });
  await page.waitForTimeout(300);
  before = await count(page);
  await send(page);
  after = await count(page);
  must(after.files === before.files + 1, "the photo is kept on the phone");

  // a new build: the data stays, an open form is not interrupted
  proxy.dead = false;
  proxy.newer = "feedfeedfeedfeed";
  before = await count(page);
  await page.goto(at + "/note");
  await page.fill('[name="text"]', "typed before the new build came");
  await page.evaluate(async () => { const r = await navigator.serviceWorker.getRegistration(); await r.update(); });
  await page.waitForSelector("#new-build");
  must(await page.inputValue('[name="text"]') === "typed before the new build came", "the open form stays as it is");
  await page.click("#new-build button");
  await page.waitForTimeout(300);
  must(/Send the form/.test(await page.textContent("#new-build")), "with a form open it does not change over");
  await send(page);
  await page.waitForSelector("#new-build");
  await look(page, "new-build");
  await Promise.all([page.waitForNavigation(), page.click("#new-build button")]);
  await page.waitForLoadState();
  const hash = await page.evaluate(() => new Promise(done => { navigator.serviceWorker.onmessage = e => done(e.data.hash); navigator.serviceWorker.controller.postMessage("hash"); }));
  after = await count(page);
  must(hash === proxy.newer && after.entries === before.entries + 1, `new build: ${hash}, ${before.entries} entries before, ${after.entries} after`);
  must((await page.textContent("#main")).includes("typed before"), "what was typed is in the book of the new build");
  say(`new build taken: ${before.entries} entries before, ${after.entries} after (one form between)`);
  const caches = await page.evaluate(async () => (await caches.keys()).join(" "));
  must(caches === "pocket-" + proxy.newer, "one build is kept: " + caches);

  // handed over as one file, phone to phone, no network at all
  proxy.dead = true;
  const file = Buffer.from(await page.evaluate(async at => { const d = new Uint8Array(await (await fetch(at + "/file.zip")).arrayBuffer()); let s = ""; for (const b of d) s += String.fromCharCode(b); return btoa(s); }, at), "base64");
  proxy.dead = false;
  const dirTwo = mkdtempSync(join(tmpdir(), "soundmetal-phone-"));
  const two = await launchKept(dirTwo, phone);
  const there = await two.newPage(); watch(there, /503|507|ERR_/); there.setDefaultTimeout(20000);
  await install(there, url);
  proxy.dead = true;
  await there.goto(url + "/take-in");
  await there.setInputFiles('input[type="file"]', { name: "job.zip", mimeType: "application/zip", buffer: file });
  await send(there);
  await look(there, "taken-in");
  await page.goto(at + "/record"); await there.goto(at + "/record");
  must(strip(await page.textContent("#main")) === strip(await there.textContent("#main")), "a job handed over as a file shows the same record");
  say(`one job as a file of ${file.length} bytes, phone to phone: the same record`);
  await two.close();
  rmSync(dirTwo, { recursive: true, force: true, maxRetries: 5 });
  proxy.dead = false;

  // speed
  const times = await page.evaluate(async () => { const all = []; for (let i = 0; i < 60; i++) { const t = performance.now(); await (await fetch(location.href)).text(); all.push(performance.now() - t); } return all.sort((a, b) => a - b); });
  const cold = [];
  for (let i = 0; i < 5; i++) { await cdp.send("ServiceWorker.stopAllWorkers"); await page.waitForTimeout(100); cold.push(await page.evaluate(async () => { const t = performance.now(); await (await fetch("/due")).text(); return performance.now() - t; })); }
  say(`job page warm p50 ${times[30].toFixed(1)} ms, p95 ${times[57].toFixed(1)} ms; first answer of a stopped worker ${cold.map(c => c.toFixed(0)).join(" ")} ms`);
  await ctx.close(); await host.end(); proxy.stop();
  rmSync(dir, { recursive: true, force: true });
}

// degraded: where the book cannot be kept it says why, and works as pages of the
// host as long as that is there.
async function degraded() {
  const host = new Host(program);
  const base = await host.start();
  const proxy = new Proxy(base.replace("http://", ""));
  proxy.host = proxy.target;
  const url = await proxy.start();
  const b = await browser(["--host-resolver-rules=MAP book.test 127.0.0.1"]);
  const cases = [
    ["plain http on a network", url.replace("127.0.0.1", "book.test"), null, /plain http/],
    ["storage refused", url, () => { IDBFactory.prototype.open = () => { throw new DOMException("refused", "SecurityError"); }; }, /storage is refused/],
    ["an old browser", url, () => { delete Navigator.prototype.serviceWorker; delete window.WebAssembly; }, /cannot answer pages itself[^]*too old/],
  ];
  for (const [name, at, before, says] of cases) {
    const ctx = await b.newContext({ viewport: phone });
    const page = await ctx.newPage(); page.setDefaultTimeout(15000);
    if (before) await page.addInitScript(before);
    await page.goto(at + "/pocket");
    await page.waitForFunction(() => document.getElementById("say").textContent);
    const text = await page.textContent("main");
    must(says.test(text) && /cannot be kept/.test(text) && await page.locator("#keep").isHidden(), `${name}: ${text.replace(/\s+/g, " ").slice(0, 400)}`);
    await look(page, "pocket-" + name.replace(/ /g, "-"));
    await page.goto(at + "/");
    must(/Jobs/.test(await page.textContent("h1")), name + ": the pages of the host work");
    await ctx.close();
  }
  say(cases.length + " ways in which it cannot be kept are said, and the pages work online");
  await b.close(); await host.end(); proxy.stop();
}

// idle: a browser without a debugger stops the worker of a page that does
// nothing; the next form must be there all the same.
async function idle() {
  const host = new Host(program);
  const proxy = new Proxy((await host.start()).replace("http://", ""));
  const url = await proxy.start();
  const dir = mkdtempSync(join(tmpdir(), "soundmetal-idle-"));
  proxy.pages["/net/drive"] = `<!doctype html><title>drive</title><script>
    const report = o => fetch("/net/report", { method: "POST", body: JSON.stringify(o) });
    const count = () => new Promise(done => { const q = indexedDB.open("soundmetal-book"); q.onsuccess = () => { const r = q.result.transaction("entries").objectStore("entries").count(); r.onsuccess = () => { q.result.close(); done(r.result); }; }; });
    const open = async key => { const r = await fetch("/new", { method: "POST", headers: { "Content-Type": "application/x-www-form-urlencoded" }, body: new URLSearchParams({ key, "j.machine.kind": "screen", "i.part": "side plate", "i.thickness": "12 mm", "i.crack.length": "90 mm" }) }); return r.status; };
    onerror = m => { report({ error: m }); };
    (async () => {
      const reg = await navigator.serviceWorker.register("/sw.js");
      await navigator.serviceWorker.ready;
      while (!navigator.serviceWorker.controller) await new Promise(r => setTimeout(r, 50));
      const first = await open("idle-1"), n1 = await count();
      const t0 = performance.now(); await (await fetch("/")).text(); const warm = performance.now() - t0;
      await report({ first, n1, warm });
      await new Promise(r => setTimeout(r, 45000));
      const t = performance.now(); const second = await open("idle-2"); const cold = performance.now() - t;
      const t2 = performance.now(); const third = await open("idle-3"); const again = performance.now() - t2;
      const back = await open("idle-1");
      await report({ second, third, back, cold, again, n2: await count() });
    })().catch(e => report({ error: String(e) }));
  </script>`;
  const chrome = spawn(process.env.CHROMIUM || "/usr/bin/chromium", ["--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--user-data-dir=" + dir, url + "/net/drive"], { stdio: "ignore" });
  const wait = n => new Promise((done, failed) => {
    const late = setTimeout(() => failed(new Error("the page without a debugger did not report")), 90000);
    const look = () => { if (proxy.reports.length >= n) { clearTimeout(late); done(); } };
    proxy.told = look; look();
  });
  try {
    await wait(1);
    proxy.dead = true;
    proxy.seen.length = 0;
    await wait(2);
  } finally { chrome.kill("SIGKILL"); }
  const [a, c] = proxy.reports;
  must(!a.error && !c.error && a.first === 200 && c.second === 200 && c.third === 200 && c.back === 200, "without a debugger: " + JSON.stringify(proxy.reports));
  must(c.n2 === 3 * a.n1, `idle stop: ${a.n1} entries for one call, ${c.n2} for three`);
  say(`45 s idle without a debugger, host dead: a call is taken in ${c.cold?.toFixed(0)} ms, the next in ${c.again?.toFixed(0)} ms; ${a.n1} entries before, ${c.n2} after; the old form again adds none`);
  await host.end(); proxy.stop();
  await new Promise(r => setTimeout(r, 300));
  rmSync(dir, { recursive: true, force: true, maxRetries: 5 });
}

const parts = { idle, degraded, faults: faultsOfThePhone };
try {
  await Promise.all(Object.entries(parts).filter(([n]) => process.argv.length < 4 || process.argv.includes(n)).map(([, f]) => f()));
} catch (e) {
  fault(e.stack);
}
if (faults.length) { console.error(faults.length + " faults"); process.exit(1); }
