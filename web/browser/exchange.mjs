// Two computers exchange by their pages: let in by code, exchanged with scripts
// by one press and without them piece by piece, the host killed in the middle,
// shut out. Started by run.sh.
import { browser, Host, phone, faults, must, look, watch, press, send, measured } from "./lib.mjs";

const program = process.argv[2];
const b = await browser();
const first = new Host(program), second = new Host(program);
const at = await first.start(), here = await second.start(["--no-demo"]);
const ctx = await b.newContext({ viewport: phone, hasTouch: true, reducedMotion: "reduce" });
const page = await ctx.newPage();
watch(page);
page.setDefaultTimeout(15000);

// the code, at the first
await page.goto(at + "/devices");
await look(page, "devices-none");
await press(page, "Let a device in");
const code = (await page.textContent(".code .value")).replace(/\D/g, "");
must(/^\d{8}$/.test(code), "a code of eight digits");
await look(page, "code");

// the second is let in
await page.goto(here + "/sync?code=" + code);
must(await page.inputValue('[name="code"]') === code, "the code of the address is filled in");
await page.fill('[name="address"]', at);
await page.fill('[name="code"]', "00000000");
await send(page);
must(/not the code/.test(await page.textContent("main")), "a wrong code is said at its field");
await look(page, "join-refused");
await page.fill('[name="code"]', code);
await send(page);
await look(page, "exchange-before");

// one press
const exchange = async want => {
  await page.click("form[data-steps] button");
  await page.waitForFunction(w => !document.querySelector("form[data-steps] button").disabled && new RegExp(w).test(document.querySelector("#exchange").textContent), want);
};
const began = Date.now();
await exchange("Done");
console.log(`  first exchange by the page: ${Date.now() - began} ms`);
must(/Nothing is on this computer only/.test(await page.textContent("#only")), "the foot of the page follows");
await look(page, "exchange-done");

// the record is the same on both
const jobs = async base => { await page.goto(base + "/?status=all"); return page.locator("a.cover").evaluateAll(all => all.map(a => a.getAttribute("href")).sort()); };
const mine = await jobs(here), theirs = await jobs(at);
must(mine.length > 0 && mine.join() === theirs.join(), `the same jobs: ${mine} and ${theirs}`);
const record = async base => { await page.goto(base + mine[0] + "/record"); return page.textContent("main"); };
must(await record(here) === await record(at), "the same record on both");

// logged while the host is away: said, and nothing lost
await first.stop("SIGKILL");
await page.goto(here + "/settings");
await page.fill('[name="welder"]', "R. Hand");
await send(page);
await page.goto(here + "/");
must(/1 entry is on this computer only/.test(await page.textContent("#only")), "one entry is only here");
await page.goto(here + "/sync");
await exchange("did not go through");
await look(page, "exchange-failed");
must(/nothing answers at/i.test(await page.textContent("#exchange")), "it says why");

// the host is back; without scripts each piece is a press
await first.start();
const plain = await b.newContext({ viewport: phone, javaScriptEnabled: false });
const p = await plain.newPage();
await p.goto(here + "/sync");
let presses = 0;
for (; presses < 20; presses++) {
  await Promise.all([p.waitForNavigation(), p.click("form[data-steps] button")]);
  if (/Done\./.test(await p.textContent("#exchange"))) break;
}
must(presses < 20 && /Nothing is on this computer only/.test(await p.textContent("#exchange")), "it ends without scripts");
await page.goto(at + "/settings");
must(await page.inputValue('[name="welder"]') === "R. Hand", "what was logged while the host was away is there");

// named, shut out
await page.goto(at + "/devices");
await page.locator(".card").locator('a:has-text("Name it")').click();
await page.fill('[name="name"]', "van");
await look(page, "device-name");
await send(page);
must(/van/.test(await page.textContent(".card")), "it has its name");
await look(page, "devices");
await press(page, "Shut out");
await look(page, "device-out");
await send(page);
await look(page, "devices-out");
await page.goto(here + "/sync");
await exchange("shut out at the host");

await b.close();
await first.end();
await second.end();
console.log(`exchange: ${measured.pages} pages looked at, smallest target ${Math.round(measured.least)} px`);
if (faults.length) { console.error(faults.length + " faults"); process.exit(1); }
