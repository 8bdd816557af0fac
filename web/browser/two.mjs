// Two browsers on one job: in turns, at the same moment, from an old page, the
// same form from both, and the program killed between the sending of a form and
// its answer. What was acknowledged is counted and must be in the book.
import { browser, Host, phone, desk, faults, must, look, watch, fill, log, send, readyToWeld } from "./lib.mjs";
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";

const program = process.argv[2];
const began = Date.now();
const b = await browser();
const host = new Host(program);
const base = await host.start(["--no-demo"]);
const open = async size => { const page = await (await b.newContext({ viewport: size })).newPage(); page.base = base; page.setDefaultTimeout(8000); watch(page); return page; };
const a = await open(phone), o = await open(desk); // the phone at the machine, the office

const acknowledged = []; // words that stand in one entry each
const said = async page => (await page.locator("#said .said").count()) > 0;
const refusal = async page => (await page.locator("main .err").allTextContents()).join(" ");
const formOf = page => page.evaluate(() => { const f = document.querySelector("form.big"); return { action: f.action, form: Object.fromEntries(new FormData(f)) }; });
const post = (page, { action, form }) => page.context().request.post(action, { form, maxRedirects: 0 });
const run = (...args) => { const r = spawnSync(program, args, { encoding: "utf8" }); must(r.status === 0, args[0] + ": " + r.stderr); return r; };
let made = 0;
// entries gives every entry of an export: the zip is stored, one entry a line
function entries() {
  const file = join(host.dir, `book-${++made}.zip`);
  run("export", "--data", join(host.dir, "book"), file);
  run("import", "--data", join(host.dir, "again-" + made), file); // every hash, chain and file is checked
  run("export", "--data", join(host.dir, "again-" + made), file + ".again");
  must(readFileSync(file).equals(readFileSync(file + ".again")), "the archive taken in and exported again has the same bytes");
  return readFileSync(file, "utf8").split("\n").map(l => l.match(/\{"device":"[^"]+","seq":\d.*\}$/)).filter(Boolean).map(m => JSON.parse(m[0]));
}
const kept = async (page, mark, what) => { if (must(await said(page), `${what}: not acknowledged: ${await refusal(page)}`)) acknowledged.push(mark); };

try {
  const { at, place } = await readyToWeld(a, "Two at one crusher");
  await log(o, base + "/settings", { welder: "The office" });

  // in turns
  for (let i = 1; i <= 4; i++) {
    await log(a, at + "/reading", { temp: 170 + i + " C", place: `turn ${i} a` }); await kept(a, `turn ${i} a`, "reading");
    await log(o, at + "/note", { text: `turn ${i} o` }); await kept(o, `turn ${i} o`, "note");
    await log(i % 2 ? a : o, at + "/bead", { temp: "175 C", rods: "2", length: "260 mm", note: `turn bead ${i}` }); await kept(i % 2 ? a : o, `turn bead ${i}`, "bead");
    must((await o.textContent("body")).includes("Two at one crusher"), "both are on the job");
  }

  // both correct: the tin on the phone, a bead in the office
  const correct = async (page, word, fields, name) => {
    await page.goto(at + "/log");
    await Promise.all([page.waitForNavigation(), page.locator(`ul.log li:has-text("${word}") a:has-text("Correct")`).first().click()]);
    await fill(page, fields); await look(page, name); await send(page); await kept(page, fields.reason, "correction");
  };
  await correct(a, "rods out", { class: "E7018", size: "4 mm", lot: "12 b", from: "oven", reason: "read the wrong tin" }, "correct-tin");
  await correct(o, "bead 2 laid", { rods: "3", reason: "miscounted" }, "correct-bead");
  await a.goto(at + "/log"); await look(a, "log-corrected");
  must(/miscounted/.test(await a.textContent("main")) && /read the wrong tin/.test(await a.textContent("main")), "both see both corrections");

  // at the same moment, each with a form of its own
  for (let i = 1; i <= 10; i++) {
    const jobs = [
      [a, "/reading", { temp: 170 + i + " C", place: `both ${i} a` }, `both ${i} a`],
      [o, i % 3 ? "/note" : "/look", i % 3 ? { text: `both ${i} o` } : { stage: "find", method: "eye", result: "clear", note: `both ${i} o` }, `both ${i} o`],
    ];
    for (const [page, path, fields] of jobs) { await page.goto(at + path); await fill(page, fields); }
    await Promise.all(jobs.map(([page]) => send(page)));
    for (const [page, , , mark] of jobs) await kept(page, mark, "at once");
  }
  // the same bead from both: each page showed it as the next one
  for (const page of [a, o]) await page.goto(at + "/bead");
  const number = await a.inputValue('[name="number"]');
  must(number === await o.inputValue('[name="number"]'), "both pages show the same next bead");
  for (const [page, n] of [[a, "same bead a"], [o, "same bead o"]]) await fill(page, { temp: "175 C", rods: "2", length: "260 mm", note: n });
  await Promise.all([send(a), send(o)]);
  await kept(a, "same bead a", "bead"); await kept(o, "same bead o", "bead");
  const alerts = (await a.locator("[role=alert]").allTextContents()).join() + (await o.locator("[role=alert]").allTextContents()).join();
  must(/bead/i.test(alerts), "a bead laid twice is said: " + alerts);

  // a form sent twice from each browser, and the same form from both
  for (const page of [a, o]) {
    await page.goto(at + "/note"); await fill(page, { text: page === a ? "one form four times" : "double press" });
    if (page === o) { await Promise.all([page.waitForNavigation(), page.locator("form.big .send button.main").dblclick()]); await page.waitForLoadState("load"); await kept(o, "double press", "double press"); continue; }
    const form = await formOf(page);
    const answers = await Promise.all([post(a, form), post(o, form), post(a, form), post(o, form)]);
    const to = new Set(answers.map(r => r.headers().location));
    must(answers.every(r => r.status() === 303) && to.size === 1, "four sendings of one form get one answer: " + [...to]);
    acknowledged.push("one form four times");
  }

  // an old page: the other has answered the hold point meanwhile
  const hold = encodeURIComponent(place + "/heat-hold");
  await a.goto(`${at}/hold?hold=${hold}`); await fill(a, { says: "yes", note: "old page" });
  await log(o, `${at}/hold?hold=${hold}`, { says: "no", note: "the office saw it cool" }); await kept(o, "the office saw it cool", "answer");
  await send(a);
  must(/was answered/.test(await refusal(a)), "an answer that crosses another is not taken in silence: " + await refusal(a));
  must(await a.inputValue('[name="note"]') === "old page", "what was typed is still there");
  await look(a, "crossed");
  await fill(a, { note: "seen, and hot again" }); await send(a); await kept(a, "seen, and hot again", "the second answer");

  // an old page: the plan has changed meanwhile
  const gone = encodeURIComponent(place + "/cut-proof");
  await a.goto(`${at}/hold?hold=${gone}`); await fill(a, { says: "yes", how: "dye", note: "by the old plan" });
  const bead = await (await a.context().newPage()); bead.setDefaultTimeout(8000);
  await bead.goto(at + "/bead"); await fill(bead, { temp: "175 C", rods: "2", length: "260 mm", note: "bead by the old plan" });
  await log(o, at + "/found", { item: place, text: "it runs on under the flange", "i.crack.length": "200 mm" });
  acknowledged.push("it runs on under the flange");
  await send(bead);
  must(/customer/.test(await refusal(bead)), "a bead while the customer is asked: " + await refusal(bead));
  await o.goto(at + "/change"); await o.fill('form[action$="/accept"] [name="name"]', "A. Grey"); await o.locator('form[action$="/accept"] input[name=how][value=phone]').check({ force: true });
  await Promise.all([o.waitForNavigation(), o.locator('form[action$="/accept"] button.main').click()]);
  await kept(o, "A. Grey", "the yes");
  await send(a);
  must(/plan has changed/.test(await refusal(a)), "an answer by an old plan is not taken in silence: " + await refusal(a));
  await look(a, "plan-changed");
  await fill(a, { note: "by the new plan" }); await send(a); await kept(a, "by the new plan", "answer by the new plan");

  // killed between the sending of a form and its answer; then the form is sent again
  let lost = 0;
  for (let i = 1; i <= 12; i++) {
    const page = i % 2 ? a : o;
    await page.goto(at + "/note"); await fill(page, { text: `killed ${i}` });
    const form = await formOf(page);
    const first = post(page, form).then(r => r.status(), () => 0);
    await new Promise(r => setTimeout(r, (i - 1) * 1.5));
    await host.stop("SIGKILL");
    const was = await first;
    if (was !== 303) lost++;
    must(was === 303 || was === 0, "an answer before the kill: " + was);
    await host.start(["--no-demo"]);
    must((await post(page, form)).status() === 303, "the form is taken when it is sent again");
    acknowledged.push(`killed ${i}`);
  }
  must(lost > 0, "no kill fell before an answer");

  // both show the same job and the same log
  const text = async (page, path) => { await page.goto(at + path); return (await page.locator("main").innerText()).replace(/-?\d+:\d\d min( over)?|\d+ (s|min)( over)?/g, ""); };
  for (const path of ["", "/log", "/record"]) must(await text(a, path) === await text(o, path), "both show the same " + path);

  // nothing acknowledged is lost, nothing is there twice
  const all = entries();
  // a form may make several entries: its key counts it
  const missing = acknowledged.filter(m => new Set(all.filter(e => Object.values(e.body).includes(m)).map(e => e.key)).size !== 1);
  must(missing.length === 0, "not there exactly once: " + missing);
  must(new Set(all.map(e => e.device + e.seq)).size === all.length, "each entry has its place");
  must(!all.some(e => /old page|old plan/.test(JSON.stringify(e.body))), "what was refused is not in the book");
  console.log(`two browsers: ${acknowledged.length} forms acknowledged, each in the book once; ${all.length} entries exported and taken in again; ${lost} of 12 kills before the answer; ${((Date.now() - began) / 1000).toFixed(0)} s`);
} catch (e) {
  faults.push(e.message);
  console.error("FAIL", e.stack);
}
await b.close();
await host.end();
if (faults.length) { console.error(faults.length + " faults"); process.exit(1); }
