// The must of a phone: let in by code, then a whole job with the host dead, from
// call to close with photos; then the exchange, broken off at every request in
// every way; then the laptop shows the same record and the same photos. At last
// a second phone logs on the same job, and all three show the same.
import { Host, phone, desk, faults, must, look, watch, fault, launchKept, browser, press, send, log, fill, readyToWeld } from "./lib.mjs";
import { Proxy } from "./proxy.mjs";
import { count, picture } from "./pocketlib.mjs";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const program = process.argv[2];
const began = Date.now();
const say = (...all) => console.log(`[${((Date.now() - began) / 1000).toFixed(1)} s]`, ...all);
const pass = /503|507|ERR_|502|Failed to fetch/;

// letIn puts the book on a phone and joins it to the host by a new code.
async function letIn(dir, url, office) {
  const ctx = await launchKept(dir, phone);
  const page = await ctx.newPage(); watch(page, pass); page.setDefaultTimeout(20000);
  await office.goto(office.base + "/devices");
  await press(office, (await office.locator('button:has-text("Let a device in")').count()) ? "Let a device in" : "Make a new code");
  const code = (await office.textContent(".code .value")).replace(/\D/g, "");
  await page.goto(url + "/pocket#code=" + code);
  await page.click("#keep");
  await page.waitForURL(/\/sync\?code=/);
  must(await page.inputValue('[name="code"]') === code, "the code of the address is filled in on the phone");
  await look(page, "join");
  await send(page);
  return { ctx, page };
}

// exchange presses the button until the page says that nothing is here only.
async function exchange(page, url) {
  await page.goto(url + "/sync");
  await page.click("form[data-steps] button");
  await page.waitForFunction(() => !document.querySelector("form[data-steps] button")?.disabled, null, { timeout: 60000 });
  return (await page.textContent("#exchange")).replace(/\s+/g, " ");
}

async function wholeJob(page, url) {
  page.base = url;
  const { at, place } = await readyToWeld(page, "Conveyor tower");
  for (const caption of ["crack before gouging", "gouged, dye clear"]) {
    await page.goto(at + "/photo");
    await page.setInputFiles('[name="photo"]', { name: "p.jpg", mimeType: "image/jpeg", buffer: await picture(page) });
    await page.fill('[name="caption"]', caption);
    await page.waitForTimeout(300);
    await send(page);
  }
  for (const temp of ["175 C", "25 C", "178 C"]) {
    await log(page, at + "/bead", { temp, rods: "2", length: "240 mm", amps: "120" });
    if (temp === "25 C") must(await page.locator("[role=alert] .dev.stop").count() > 0, "the cold bead is said at once, with no signal");
  }
  const clear = async () => {
    for (let i = 0; i < 12; i++) {
      await page.goto(at);
      const open = page.locator("a.button:has-text('What was done')");
      if (!(await open.count())) break;
      await log(page, new URL(await open.first().getAttribute("href"), url).href, { done: "ground out, heated again, laid again" });
    }
  };
  await clear();
  // the scope grows: the customer says yes by phone
  await page.goto(at + "/found"); await page.locator('input[name="item"]').first().check({ force: true });
  await fill(page, { text: "the crack runs on under the flange", "i.crack.length": "200 mm" }); await send(page);
  must(/Change 1/.test(await page.textContent("h1")), "the change order");
  await page.fill('form[action$="/accept"] [name="name"]', "A. Grey");
  await page.locator('form[action$="/accept"] input[name=how][value=phone]').check({ force: true });
  await Promise.all([page.waitForNavigation(), page.locator('form[action$="/accept"] button.main').click()]);
  await log(page, `${at}/override?hold=${place}%2Fafter-hold`, { name: "R. Hand", reason: "tested by the pit's own inspector on Friday" });
  await clear();
  await page.goto(at + "/close"); await fill(page, { by: "R. Hand", done: "frame rail gouged, welded, ground flush" });
  await page.locator('input[name="not"]').first().check({ force: true }); await send(page);
  must(/Closed by R. Hand/.test(await page.textContent("main")), "the job is closed with no signal");
  return at.slice(url.length);
}

// shown is what a page says, and its photos by their bytes.
async function shown(page, url) {
  await page.goto(url);
  const text = (await page.textContent("main")).replace(/\s+/g, " ");
  const photos = await page.evaluate(async () => {
    const all = [];
    for (const img of document.querySelectorAll('img[src*="/photos/"]')) {
      const data = await (await fetch(img.src)).arrayBuffer();
      all.push([...new Uint8Array(await crypto.subtle.digest("SHA-256", data))].map(b => b.toString(16).padStart(2, "0")).join(""));
    }
    return all;
  });
  return { text, photos };
}

async function run() {
  const host = new Host(program);
  const base = await host.start(["--no-demo"]);
  const proxy = new Proxy(base.replace("http://", ""));
  const url = await proxy.start();
  const b = await browser();
  const office = await (await b.newContext({ viewport: desk })).newPage(); watch(office); office.setDefaultTimeout(15000); office.base = base;
  const dir = mkdtempSync(join(tmpdir(), "soundmetal-air-"));
  const { ctx, page } = await letIn(join(dir, "one"), url, office);
  say("let in:", (await exchange(page, url)).slice(0, 110));

  // airplane mode
  proxy.dead = true;
  await ctx.setOffline(true);
  const first = await count(page);
  const job = await wholeJob(page, url);
  const full = await count(page);
  say(`a whole job with the host dead and the phone offline: ${first.entries} entries, ${first.files} files before, ${full.entries}, ${full.files} after`);
  await page.goto(url + "/sync");
  const only = (await page.textContent("#only")).replace(/\s+/g, " ");
  say("the phone says:", only.trim());
  await look(page, "only-here");
  const papers = await page.evaluate(async at => { const r = await fetch(at + "/papers/record.pdf"); const d = new Uint8Array(await r.arrayBuffer()); return { status: r.status, head: String.fromCharCode(...d.slice(0, 5)), size: d.length }; }, url + job);
  must(papers.status === 200 && papers.head === "%PDF-", "the record as PDF with no signal: " + JSON.stringify(papers));
  say("record as PDF, made on the phone:", papers.size, "bytes");

  // the exchange, broken off at each request in turn, in every way
  await ctx.setOffline(false);
  proxy.dead = false;
  const ways = ["lost", "drop", "cut", "double", "late", "bad"];
  const hit = {};
  let breaks = 0, presses = 0, whole = full;
  for (const [round, way] of ways.entries()) {
    if (round > 0) { // something more to send
      await page.goto(url + job + "/photo");
      await page.setInputFiles('[name="photo"]', { name: "p.jpg", mimeType: "image/jpeg", buffer: await picture(page) });
      await page.fill('[name="caption"]', "looked again: " + way);
      await page.waitForTimeout(300);
      await send(page);
      whole = await count(page);
    }
    let asked = 0;
    proxy.fault = what => { // every kind of request is hit once in each way
      const kind = what.replace(/[0-9a-f]{16,}/g, "…");
      asked++;
      if ((hit[kind] ||= []).includes(way)) return null;
      hit[kind].push(way); breaks++;
      return way;
    };
    for (let n = 0; n < 12; n++) {
      await exchange(page, url);
      presses++;
      const here = await count(page);
      must(here.entries === whole.entries && here.files === whole.files, `after ${way}: ${here.entries} entries and ${here.files} files on the phone, ${whole.entries} and ${whole.files} before`);
      if (/Nothing is on this phone only/.test(await page.textContent("#only"))) break;
    }
    proxy.fault = null;
    const there = await shown(office, base + job + "/log"), here = await shown(page, url + job + "/log");
    must(there.text === here.text, `after ${way}: the laptop's log is another`);
  }
  proxy.fault = null;
  const last = await exchange(page, url);
  say(`exchange broken off ${breaks} times in ${ways.length} ways over ${presses} presses; ${Object.entries(hit).map(([k, w]) => k + ": " + w.join(" ")).join("; ")}; then: ${last.slice(0, 110)}`);
  const end = await count(page);
  must(end.entries === whole.entries && end.files === whole.files, `entries on the phone: ${whole.entries} before the exchange, ${end.entries} after`);
  say(`on the phone ${whole.entries} entries and ${whole.files} files before and after`);
  must(/Nothing is on this phone only/.test(await page.textContent("#only")), "the phone says that nothing is here only");

  // the laptop shows the same
  for (const part of ["/record", "", "/log"]) {
    const there = await shown(office, base + job + part), here = await shown(page, url + job + part);
    must(there.text === here.text, `${part || "sheet"}: the laptop shows something else`);
    if (there.text !== here.text) { let i = 0; while (there.text[i] === here.text[i]) i++; console.error("laptop:", there.text.slice(i - 40, i + 120), "\nphone: ", here.text.slice(i - 40, i + 120)); }
    must(there.photos.join() === here.photos.join(), `${part || "sheet"}: the photos differ`);
    if (part === "/record") { must(there.photos.length === 7, `${there.photos.length} photos in the record`); say(`laptop and phone show the same record: ${there.text.length} letters, ${there.photos.length} photos with the same bytes`); }
  }
  await look(office, "record-from-the-phone");

  // a second phone: fetches the job, both log with no signal, all three converge
  const two = await letIn(join(dir, "two"), url, office);
  await exchange(two.page, url);
  must((await shown(two.page, url + job + "/record")).text === (await shown(office, base + job + "/record")).text, "the second phone has the record");
  proxy.dead = true;
  for (const [p, text] of [[page, "from the first phone"], [two.page, "from the second phone"]]) { await p.goto(url + job + "/note"); await p.fill('[name="text"]', text); await send(p); }
  await office.goto(base + job + "/note"); await office.fill('[name="text"]', "from the laptop"); await send(office);
  proxy.dead = false;
  for (const p of [two.page, page, two.page]) await exchange(p, url);
  const logs = [await shown(office, base + job + "/log"), await shown(page, url + job + "/log"), await shown(two.page, url + job + "/log")].map(s => s.text);
  must(logs[0] === logs[1] && logs[1] === logs[2] && ["from the first phone", "from the second phone", "from the laptop"].every(t => logs[0].includes(t)), "two phones and a laptop show the same log");
  say("two phones and a laptop, each with a note of its own, show the same log");

  // shut out
  await office.goto(base + "/devices");
  await look(office, "devices");
  await ctx.close(); await two.ctx.close(); await b.close(); await host.end(); proxy.stop();
  rmSync(dir, { recursive: true, force: true, maxRetries: 5 });
}

try { await run(); } catch (e) { fault(e.stack); }
if (faults.length) { console.error(faults.length + " faults"); process.exit(1); }
process.exit(0);
