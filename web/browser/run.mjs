// The whole job from call to close in a browser, on a phone and at a desk; once
// by keyboard alone; once with scripts off; the host killed and started again in
// the middle. `make browser` builds the program and runs this.
import { browser, Host, phone, desk, faults, must, look, weigh, watch, measured, pick, press, send } from "./lib.mjs";
import { writeFileSync } from "node:fs";
import { join } from "node:path";

const program = process.argv[2];
const began = Date.now();
const b = await browser();

async function call(page) {
  await page.goto(page.base + "/new");
  await look(page, "call");
  await page.fill('[name="name"]', "Crusher frame rail");
  await pick(page, "units", "si");
  await page.fill('[name="j.machine.kind"]', "stone crusher");
  await page.fill('[name="j.machine.serial"]', "SC 12");
  for (const n of ["lifts_people", "hangs_load", "on_road"]) await pick(page, "j.machine." + n, "no");
  await pick(page, "i.contains", "nothing");
  await page.fill('[name="i.part"]', "frame rail");
  await pick(page, "i.role", "structure");
  await page.locator('button[data-fill="f-i-crack-length"]').nth(1).click();
  must(/^(300 mm|12 in)$/.test(await page.inputValue('[name="i.crack.length"]')), "a usual value at one tap");
  await page.fill('[name="i.crack.length"]', "120");
  await page.fill('[name="i.thickness"]', "20");
  await pick(page, "i.shape", "plate");
  await pick(page, "j.site.fire_ban", "no");
  await pick(page, "i.crack.ends", "both");
  await page.fill('[name="c.name"]', "Grey Pit");
  await page.locator('button:has-text("So far?")').click();
  await page.waitForSelector("#sofar .verdict");
  const t = Date.now();
  await send(page);
  measured.verdict = Date.now() - t;
  must(/May I touch it/.test(await page.textContent("h1")), "the answer page after the call");
  await look(page, "answer");
  await press(page, "To the job sheet");
  return page.url().replace(/[?#].*/, "");
}

async function whole(size, name, restart) {
  const host = new Host(program);
  const ctx = await b.newContext({ viewport: size, hasTouch: size === phone, reducedMotion: "reduce" });
  const page = await ctx.newPage();
  page.base = await host.start();
  watch(page); weigh(page);
  page.setDefaultTimeout(8000);
  await page.goto(page.base + "/");
  must(/Demo jobs are shown/.test(await page.textContent("main")), "the demo book on the first start");
  await look(page, "start");
  await press(page, "Clear them away"); await send(page);
  must(/No job is open/.test(await page.textContent("main")), "the demo book is cleared");
  await page.goto(page.base + "/settings"); await page.fill('[name="welder"]', "R. Hand"); await pick(page, "explain", "yes"); await send(page);
  const at = await call(page);
  await look(page, "sheet");
  // why? in place
  await page.locator("details.part").evaluateAll(all => all.forEach(d => { d.open = true; }));
  await page.locator(".figure .why").first().click();
  await page.waitForSelector(".whybox");
  must(/Source:/.test(await page.textContent(".whybox")), "the working in place");
  await look(page, "sheet-open");
  await page.goto(at + "/agree"); await page.fill('[name="name"]', "A. Grey"); await pick(page, "how", "phone"); await send(page);
  await page.goto(at + "/clock"); await pick(page, "what", "check-in"); await page.fill('[name="for"]', "30 min"); await page.fill('[name="call"]', "the yard"); await look(page, "clock"); await send(page);
  must(await page.locator("[data-due]").count() > 0, "the clock runs on the sheet");
  // the hold points before the cut, one tap each
  let holds = 0;
  for (; holds < 90; holds++) {
    const next = page.locator("section.next");
    const text = await next.textContent();
    if (/Crack gone/.test(text)) break;
    const hold = next.locator('button:has-text("Yes, done")');
    if (await hold.count()) await Promise.all([page.waitForNavigation(), hold.click()]);
    else await Promise.all([page.waitForNavigation(), next.locator('button:has-text("Done")').first().click()]);
    if (holds === 1) await look(page, "now");
  }
  must(holds < 90, "the sheet comes to the cut");
  // photo
  const png = Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAIAAAACCAIAAAD91JpzAAAAEElEQVR4nGP4z8AARAwQCgAf7gP9i18U1AAAAABJRU5ErkJggg==", "base64");
  const file = join(host.dir, "crack.png"); writeFileSync(file, png);
  await page.goto(at + "/photo"); await page.setInputFiles('[name="photo"]', file); await page.fill('[name="caption"]', "crack before gouging"); await look(page, "photo"); await send(page);
  must(await page.locator(".photos img").count() === 1, "the photo is on the sheet");
  await page.goto(at + "/gouge"); await page.fill('[name="length"]', "220 mm"); await page.fill('[name="depth"]', "20 mm"); await send(page);
  await page.goto(at + "/look"); await pick(page, "stage", "gone"); await pick(page, "method", "pt"); await pick(page, "result", "clear"); await send(page);
  await page.locator("section.next a:has-text('Crack gone')").click(); await pick(page, "how", "dye"); await look(page, "hold"); await send(page);
  if (restart) { // the host is killed and started again: the page goes on
    await host.stop("SIGKILL"); await host.start(); await page.goto(at);
    must(/30 min|29:|28:|27:/.test(await page.textContent("main")), "the clock survives the restart");
  }
  // found more
  await page.goto(at + "/found"); await page.locator('input[name="item"]').first().check({ force: true });
  await page.fill('[name="text"]', "the crack runs on under the flange"); await page.fill('[name="i.crack.length"]', "200 mm"); await look(page, "found"); await send(page);
  must(/Change 1/.test(await page.textContent("h1")), "the change order");
  await look(page, "change");
  await page.fill('form[action$="/accept"] [name="name"]', "A. Grey");
  const pad = page.locator("canvas.sign"); await pad.scrollIntoViewIfNeeded();
  const box = await pad.boundingBox();
  await page.mouse.move(box.x + 30, box.y + 60); await page.mouse.down();
  for (let i = 0; i < 20; i++) await page.mouse.move(box.x + 30 + i * 12, box.y + 60 + 30 * Math.sin(i));
  await page.mouse.up();
  must(await page.locator('input[name=how][value=signed]').isChecked(), "drawing chooses signed");
  await look(page, "signed");
  await Promise.all([page.waitForNavigation(), page.locator('form[action$="/accept"] button.main').click()]);
  must(/change accepted by A. Grey/.test(await page.textContent("#said")), "the yes is logged");
  // whatever the new plan opens again
  for (let i = 0; i < 40; i++) {
    const next = page.locator("section.next");
    if (!(await next.count()) || /Heat reached/.test(await next.textContent())) break;
    const gone = next.locator("a:has-text('Crack gone')");
    if (await gone.count()) { await gone.click(); await pick(page, "how", "dye"); await send(page); continue; }
    const hold = next.locator('button:has-text("Yes, done"), button:has-text("Done")');
    await Promise.all([page.waitForNavigation(), hold.first().click()]);
  }
  await page.goto(at + "/tin"); await page.fill('[name="class"]', "E7018-H4R"); await page.fill('[name="size"]', "3.2 mm"); await pick(page, "from", "sealed"); await look(page, "tin"); await send(page);
  await page.goto(at + "/reading"); await page.fill('[name="temp"]', "warm"); await send(page).catch(() => {});
  must(/422|warm/.test(await page.textContent("main")) && await page.locator(".err").count() > 0, "a wrong reading comes back");
  await look(page, "reading-wrong");
  await page.fill('[name="temp"]', "175 C"); await page.fill('[name="place"]', "left end"); await send(page);
  await Promise.all([page.waitForNavigation(), page.locator('section.next button:has-text("Heat reached")').click()]);
  await page.goto(at + "/bead"); await page.fill('[name="temp"]', "25 C"); await page.fill('[name="rods"]', "2"); await page.fill('[name="length"]', "200 mm"); await page.fill('[name="amps"]', "120"); await look(page, "bead"); await send(page);
  must(await page.locator("[role=alert] .dev.stop").count() > 0, "the cold bead is said at once");
  await look(page, "deviation");
  for (let i = 0; i < 12; i++) {
    await page.goto(at);
    const open = page.locator("a.button:has-text('What was done')");
    if (!(await open.count())) break;
    await page.goto(page.base + await open.first().getAttribute("href"));
    await page.fill('[name="done"]', "ground out, heated again, laid again"); await send(page);
  }
  await page.goto(at + "/bead"); await page.fill('[name="temp"]', "175 C"); await page.fill('[name="rods"]', "2"); await page.fill('[name="length"]', "250 mm"); await send(page);
  await page.goto(at + "/record"); await look(page, "record");
  await page.goto(at + "/papers"); await look(page, "papers");
  await page.goto(at + "/log"); await look(page, "log");
  await page.goto(at + "/facts"); await look(page, "facts");
  // the final look before its time is passed by with name and reason
  await page.goto(at); const place = (await page.locator('a[href*="/bead?item="]').first().getAttribute("href")).split("item=")[1];
  await page.goto(`${at}/override?hold=${place}%2Fafter-hold`); await page.fill('[name="reason"]', "tested by the pit's own inspector on Friday"); await look(page, "override"); await send(page);
  for (let i = 0; i < 12; i++) {
    await page.goto(at);
    const open = page.locator("a.button:has-text('What was done')");
    if (!(await open.count())) break;
    await page.goto(page.base + await open.first().getAttribute("href"));
    await page.fill('[name="done"]', "seen, noted, told the customer"); await send(page);
  }
  await page.goto(at + "/close"); await page.fill('[name="done"]', "frame rail gouged, welded, ground flush");
  await page.locator('input[name="not"]').first().check({ force: true }); await look(page, "close"); await send(page);
  must(/Closed by R. Hand/.test(await page.textContent("main")), "the job is closed");
  await look(page, "closed");
  await page.goto(page.base + "/due"); must(/Crusher frame rail/.test(await page.textContent("main")), "its looks are due"); await look(page, "due");
  await page.goto(at + "/again"); await page.fill('[name="hours"]', "40"); await send(page);
  must(/was here before/.test(await page.textContent("main")), "the machine was here before");
  // the same as last job
  await page.goto(page.base + "/new"); await page.locator("summary:has-text('Was the machine here before?')").click(); await look(page, "offers");
  await Promise.all([page.waitForNavigation(), page.locator('.offers a:has-text("SC 12")').first().click()]);
  await Promise.all([page.waitForNavigation(), page.locator('.offers a:has-text("Frame rail")').first().click()]);
  must(await page.inputValue('[name="j.machine.serial"]') === "SC 12" && await page.inputValue('[name="i.part"]') === "frame rail" && await page.inputValue('[name="i.crack.length"]') === "", "machine and part are taken over, the damage is not");
  await look(page, "taken-over");
  await page.fill('[name="i.crack.length"]', "80 mm"); await send(page);
  must(/was here before/.test(await page.textContent("main")), "the machine of the call is the known one");
  for (const [path, n] of [["/machines", "machines"], ["/explain", "explain"], ["/explain/preheat-cet", "method"], ["/explain/preheat-cet/sheet", "blank"], ["/shop", "shop"], ["/shop/file", "shop-file"], ["/nothing", "missing"]]) { await page.goto(page.base + path); await look(page, n); }
  await page.goto(page.base + "/explain/preheat-cet");
  const before = await page.textContent("#working .value");
  await page.fill('[name="d"]', "25"); await page.locator('[name="d"]').blur();
  await page.waitForFunction(old => document.querySelector("#working .value")?.textContent !== old, before);
  await ctx.close(); await host.end();
  console.log(`${name}: ${holds} hold points and steps one tap each, ${((Date.now() - began) / 1000).toFixed(0)} s so far`);
}

// by keyboard alone: Tab, Enter, Space, arrows
async function keyboard() {
  const host = new Host(program);
  const ctx = await b.newContext({ viewport: desk });
  const page = await ctx.newPage(); watch(page); page.setDefaultTimeout(8000);
  page.base = await host.start();
  const to = async test => { for (let i = 0; i < 400; i++) { if (await page.evaluate(test)) { return true; } await page.keyboard.press("Tab"); } return must(false, "not reached by Tab: " + test); };
  const visible = async () => must(await page.evaluate(() => { const s = getComputedStyle(document.activeElement), l = document.activeElement.labels?.[0]; return s.outlineStyle !== "none" || l && getComputedStyle(l).outlineStyle !== "none"; }), "the focus cannot be seen");
  await page.goto(page.base + "/");
  await to(() => document.activeElement.matches?.('a.main[href="/new"]')); await visible();
  await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
  await to(() => document.activeElement.name === "j.machine.kind"); await page.keyboard.type("loader");
  await to(() => document.activeElement.name === "j.machine.lifts_people"); await page.keyboard.press("ArrowRight"); await visible();
  await to(() => document.activeElement.name === "i.part"); await page.keyboard.type("left arm");
  await to(() => document.activeElement.name === "i.crack.length"); await page.keyboard.type("120 mm");
  await to(() => document.activeElement.name === "i.thickness"); await page.keyboard.type("20 mm");
  await to(() => document.activeElement.matches?.("button.main")); await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
  must(/May I touch it/.test(await page.textContent("h1")), "the call by keyboard");
  await to(() => document.activeElement.matches?.("a.main")); await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
  for (let i = 0; i < 3; i++) { await to(() => document.activeElement.matches?.("section.next button.main")); await visible(); await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]); }
  await to(() => document.activeElement.matches?.("details.part > summary")); await visible();
  if (!(await page.evaluate(() => document.activeElement.parentElement.open))) await page.keyboard.press("Enter");
  await to(() => document.activeElement.matches?.("a.why")); await page.keyboard.press("Enter"); await page.waitForSelector(".whybox");
  await to(() => document.activeElement.matches?.('.bar a[href$="/note"]')); await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
  await to(() => document.activeElement.name === "text"); await page.keyboard.type("by keyboard");
  await to(() => document.activeElement.matches?.("button.main")); await Promise.all([page.waitForNavigation(), page.keyboard.press("Enter")]);
  must(/Logged: by keyboard/.test(await page.textContent("#said")), "a note by keyboard");
  await ctx.close(); await host.end();
}

// with scripts off everything is still there
async function withoutScripts() {
  const host = new Host(program);
  const ctx = await b.newContext({ viewport: phone, javaScriptEnabled: false });
  const page = await ctx.newPage(); page.setDefaultTimeout(8000);
  page.base = await host.start(["--no-demo"]);
  await page.goto(page.base + "/new");
  await page.fill('[name="j.machine.kind"]', "screen"); await page.fill('[name="i.part"]', "side plate"); await page.fill('[name="i.thickness"]', "12 mm"); await page.fill('[name="i.crack.length"]', "90 mm");
  await send(page); must(/May I touch it/.test(await page.textContent("h1")), "the call without scripts");
  await press(page, "To the job sheet");
  await Promise.all([page.waitForNavigation(), page.locator("section.next button.main").first().click()]);
  must(/Logged:/.test(await page.textContent("#said")), "an answer without scripts");
  const at = page.url().replace(/[?#].*/, "");
  if (!(await page.locator("details.part[open]").count())) await page.locator("details.part").first().locator("summary").click();
  await Promise.all([page.waitForNavigation(), page.locator("details[open] a.why").first().click()]);
  must(/Why\?/.test(await page.textContent("h1")), "the working on its own page");
  // a photo of 12 million points that lies across, with the place in it
  const camera = await largePhoto(), file = join(host.dir, "camera.jpg");
  writeFileSync(file, camera);
  await page.goto(at + "/photo"); await page.setInputFiles('[name="photo"]', file); await send(page);
  const img = page.locator(".photos img").first(); await img.scrollIntoViewIfNeeded();
  await page.waitForLoadState("networkidle");
  const kept = await page.request.get(page.base + await img.getAttribute("src"));
  must(!(await kept.body()).includes("GPS 47.1"), "the place is out of the photo");
  const is = await img.evaluate(i => [i.naturalWidth, i.naturalHeight, i.getAttribute("width"), i.getAttribute("height"), i.clientWidth < i.clientHeight].join());
  must(is === "3000,4000,3000,4000,true", "the photo stands upright: " + is);
  await page.screenshot({ path: new URL("./shots/phone-photo-upright.png", import.meta.url).pathname });
  console.log(`without scripts: a photo of ${(camera.length / 1e6).toFixed(1)} MB is shown upright`);
  await ctx.close(); await host.end();
}

// largePhoto is what a telephone held upright makes: 4000 × 3000 points that lie
// across, EXIF orientation 6, a place.
async function largePhoto() {
  const page = await b.newPage();
  const base64 = await page.evaluate(() => {
    const c = Object.assign(document.createElement("canvas"), { width: 4000, height: 3000 }), g = c.getContext("2d");
    for (let i = 0; i < 4000; i++) { g.fillStyle = `hsl(${i % 360} 40% ${30 + i % 40}%)`; g.fillRect((i * 7919) % 4000, (i * 104729) % 3000, 90, 60); }
    g.fillStyle = "white"; g.font = "600px sans-serif"; g.translate(600, 2600); g.rotate(-Math.PI / 2); g.fillText("UP", 0, 0);
    return c.toDataURL("image/jpeg", 0.9).split(",")[1];
  });
  await page.close();
  const jpeg = Buffer.from(base64, "base64");
  const exif = Buffer.concat([Buffer.from("Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0", "latin1"), Buffer.from("GPS 47.1 N")]);
  return Buffer.concat([jpeg.subarray(0, 2), Buffer.from([0xff, 0xe1, 0, exif.length + 2]), exif, jpeg.subarray(2)]);
}

// the simulated heat: worked out by the host with progress and cancel, the torch and
// a reading over what was expected, the chart that looks again by itself
async function heat() {
  const host = new Host(program);
  const ctx = await b.newContext({ viewport: phone, hasTouch: true, reducedMotion: "reduce" });
  const page = await ctx.newPage(); watch(page); weigh(page); page.setDefaultTimeout(20000);
  page.base = await host.start();
  await page.goto(page.base + "/");
  await page.locator("a.cover:has-text('Tipper')").click(); await page.waitForLoadState("load");
  const at = page.url().replace(/[?#].*/, "");
  await page.goto(at + "/heat"); await look(page, "heat-places");
  await Promise.all([page.waitForNavigation(), page.locator(".links.one a").nth(1).click()]);
  const here = page.url(), item = new URL(here).searchParams.get("item");
  await look(page, "heat-none");
  await pick(page, "level", "working");
  await Promise.all([page.waitForNavigation(), page.locator('button:has-text("Work it out")').click()]);
  await page.waitForFunction(() => /first heat|whole repair/i.test(document.querySelector("#task")?.textContent || ""));
  await look(page, "heat-running");
  await Promise.all([page.waitForNavigation(), page.locator('#task button:has-text("Cancel")').click()]);
  must(await page.locator("#task").count() === 0 && await page.locator('button:has-text("Work it out")').count() === 1, "a cancelled simulation is gone");
  const began = Date.now();
  await Promise.all([page.waitForNavigation(), page.locator('button:has-text("Work it out")').click()]);
  await page.waitForSelector("text=It is an estimate", { timeout: 120000 }); // the page comes to it by itself
  measured.heat = Date.now() - began;
  must(await page.locator(".heatchart svg").count() === 1, "the expected heat is drawn");
  await look(page, "heat");
  await page.locator("details[open] .figure .why").first().click(); await page.waitForSelector(".whybox");
  must(/Source:/.test(await page.textContent(".whybox")), "the working of a simulated figure in place");
  await page.goto(`${at}/torch?item=${item}`); await page.fill('[name="ago"]', "4 min"); await look(page, "torch"); await send(page);
  must(/Lined up where the torch was lit/.test(await page.textContent("main")), "how the chart is lined up is said");
  await page.goto(`${at}/reading?item=${item}`); await page.fill('[name="temp"]', "90 F"); await page.fill('[name="distance"]', "3 in"); await pick(page, "far_face", "yes"); await send(page);
  await page.locator("details.part:has(.heatchart)").first().evaluate(d => { d.open = true; });
  must(/slower than simulated/.test(await page.textContent(".heatchart")), "a reading that lags is said, as an estimate");
  await page.locator(".heatchart").first().scrollIntoViewIfNeeded();
  await look(page, "heat-sheet");
  // it looks again by itself: nothing is sent while nothing has changed, and nothing is asked while hidden
  const seen = [];
  page.on("response", r => { if (/heat\/chart/.test(r.url())) seen.push(r.status()); });
  const again = () => page.evaluate(() => document.querySelector("[data-live]").dispatchEvent(new Event("seen")));
  await again(); await page.waitForTimeout(500);
  await page.evaluate(() => Object.defineProperty(document, "hidden", { get: () => true, configurable: true }));
  await again(); await page.waitForTimeout(500);
  must(seen.join() === "204", `the live chart asked ${seen.join()}, want 204 once`);
  const px = await page.evaluate(() => Math.min(...[...document.querySelectorAll(".heatchart svg text")].map(e => e.getScreenCTM().a * parseFloat(getComputedStyle(e).fontSize))));
  must(px >= 16, `words of ${px.toFixed(1)} px in the chart`);
  await page.goto(here); await look(page, "heat-read");
  await ctx.close(); await host.end();
  console.log(`heat: ${(measured.heat / 1000).toFixed(1)} s at the coarse level, words of ${px.toFixed(1)} px and more in the chart`);
}

try {
  await whole(phone, "phone", true);
  await whole(desk, "desk", false);
  await keyboard();
  await withoutScripts();
  await heat();
} catch (e) {
  faults.push(e.message);
  console.error("FAIL", e.stack);
}
await b.close();
console.log(`${measured.pages} pages looked at, ${measured.targets} targets, the smallest ${Math.round(measured.least)} px, heaviest page ${(measured.heaviest / 1000).toFixed(0)} kB, verdict ${measured.verdict} ms, ${((Date.now() - began) / 1000).toFixed(0)} s`);
if (faults.length) { console.error(faults.length + " faults"); process.exit(1); }
