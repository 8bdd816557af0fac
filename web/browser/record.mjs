// Records one job from call to close on the size of a phone: a small video and a
// page of pictures in shots/, neither of them kept in the repository.
//   node record.mjs PROGRAM
// The frames are those of the browser's own screencast; a canvas and its
// MediaRecorder in a second page make a WebM of them, so no other tool is needed.
import { browser, Host, phone, faults, must, fill, send, readyToWeld } from "./lib.mjs";
import { mkdirSync, writeFileSync } from "node:fs";

const out = new URL("./shots/", import.meta.url).pathname;
mkdirSync(out + "record", { recursive: true });
const host = new Host(process.argv[2]);
const b = await browser();
const ctx = await b.newContext({ viewport: phone, hasTouch: true, reducedMotion: "reduce" });
const page = await ctx.newPage();
page.setDefaultTimeout(8000);
page.base = await host.start(["--no-demo"]);

const frames = []; // { at: seconds, data: JPEG in base64 }
const cast = await ctx.newCDPSession(page);
cast.on("Page.screencastFrame", async f => {
  frames.push({ at: f.metadata.timestamp, data: f.data });
  await cast.send("Page.screencastFrameAck", { sessionId: f.sessionId }).catch(() => {});
});
await cast.send("Page.startScreencast", { format: "jpeg", quality: 70, maxWidth: phone.width, maxHeight: phone.height });

const pictures = [];
async function show(what) {
  await page.waitForTimeout(400); // an eye needs a moment
  const name = String(pictures.length + 1).padStart(2, "0") + ".png";
  await page.screenshot({ path: out + "record/" + name });
  pictures.push({ name, what });
}
const put = async (path, fields, what) => { await page.goto(path); await fill(page, fields); await show(what); await send(page); };

try {
  await page.goto(page.base + "/"); await show("The book, empty");
  await put(page.base + "/settings", { welder: "R. Hand" }, "Settings");
  const { at, place } = await readyToWeld(page, "Crusher frame rail");
  await page.goto(at + "/answer"); await show("May I touch it?");
  await page.goto(at); await show("The job sheet at the first bead");
  await put(at + "/bead", { temp: "175 C", rods: "2", length: "260 mm", amps: "120" }, "A bead");
  await show("Logged");
  await put(at + "/bead", { temp: "25 C", rods: "2", length: "260 mm" }, "A bead begun cold; rods and amps as before");
  must(await page.locator("[role=alert] .dev.stop").count() > 0, "the cold bead is said at once");
  await show("It is said at once");
  const clear = async done => {
    for (let i = 0; i < 20; i++) {
      await page.goto(at);
      const open = page.locator("a.button:has-text('What was done')");
      if (!(await open.count())) return;
      await page.goto(page.base + await open.first().getAttribute("href")); await fill(page, { done }); if (i === 0) await show("What was done about it"); await send(page);
    }
  };
  await clear("ground out, heated again, laid again");
  await page.goto(at + "/log"); await Promise.all([page.waitForNavigation(), page.locator('ul.log li:has-text("bead 1 laid") a:has-text("Correct")').first().click()]);
  await fill(page, { rods: "2.5", reason: "miscounted" }); await show("A correction"); await send(page);
  await put(at + "/found", { item: place, text: "the crack runs on under the flange", "i.crack.length": "200 mm" }, "Found more");
  await page.fill('form[action$="/accept"] [name="name"]', "A. Grey");
  const pad = page.locator("canvas.sign"); await pad.scrollIntoViewIfNeeded();
  const box = await pad.boundingBox();
  await page.mouse.move(box.x + 30, box.y + 60); await page.mouse.down();
  for (let i = 0; i < 20; i++) await page.mouse.move(box.x + 30 + i * 12, box.y + 60 + 30 * Math.sin(i));
  await page.mouse.up(); await show("The customer signs");
  await Promise.all([page.waitForNavigation(), page.locator('form[action$="/accept"] button.main').click()]);
  await show("His yes is logged");
  await put(`${at}/override?hold=${encodeURIComponent(place + "/after-hold")}`, { reason: "tested by the pit's own inspector on Friday" }, "A hold point passed with name and reason");
  await clear("seen, noted, told the customer");
  await page.goto(at + "/close"); await fill(page, { done: "frame rail gouged, welded, ground flush" });
  await page.locator('input[name="not"]').first().check({ force: true }); await show("Close"); await send(page);
  must(/Closed by R. Hand/.test(await page.textContent("main")), "the job is closed"); await show("Closed");
  await page.goto(at + "/record"); await show("Repair record");
  await page.goto(page.base + "/due"); await show("Looks that are due");
} catch (e) {
  faults.push(e.message);
  console.error("FAIL", e.stack);
}
await cast.send("Page.stopScreencast").catch(() => {});

// the video: what stood still is cut short
const times = [];
let t = 0;
for (let i = 0; i < frames.length; i++) { times.push(t); t += Math.min(i + 1 < frames.length ? frames[i + 1].at - frames[i].at : 1, 0.6); }
const maker = await (await b.newContext({ viewport: phone })).newPage();
maker.setDefaultTimeout(0);
await maker.evaluate(() => { window.frames_ = []; });
for (let i = 0; i < frames.length; i += 50) await maker.evaluate(part => { window.frames_.push(...part); }, frames.slice(i, i + 50).map(f => f.data));
const video = await maker.evaluate(async ({ times, width, height }) => {
  const canvas = document.createElement("canvas");
  canvas.width = width; canvas.height = height;
  document.body.append(canvas);
  const draw = canvas.getContext("2d");
  const recorder = new MediaRecorder(canvas.captureStream(15), { mimeType: "video/webm;codecs=vp8", videoBitsPerSecond: 400_000 });
  const parts = [];
  recorder.ondataavailable = e => parts.push(e.data);
  const ended = new Promise(r => { recorder.onstop = r; });
  const images = [];
  for (const data of window.frames_) { const i = new Image(); i.src = "data:image/jpeg;base64," + data; await i.decode().catch(() => {}); images.push(i); }
  recorder.start();
  const began = performance.now();
  for (let i = 0; i < images.length; i++) {
    const wait = times[i] * 1000 - (performance.now() - began);
    if (wait > 0) await new Promise(r => setTimeout(r, wait));
    draw.fillStyle = "#fff"; draw.fillRect(0, 0, width, height);
    draw.drawImage(images[i], 0, 0, width, height);
  }
  await new Promise(r => setTimeout(r, 800));
  recorder.stop();
  await ended;
  const bytes = new Uint8Array(await new Blob(parts).arrayBuffer());
  let text = "";
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}, { times, width: phone.width, height: phone.height });
const bytes = Buffer.from(video, "base64");
writeFileSync(out + "record/job.webm", bytes);
// it is played back: a file that no player opens would be none
const played = await maker.evaluate(async data => {
  const v = document.createElement("video");
  v.muted = true; v.src = "data:video/webm;base64," + data;
  document.body.append(v);
  await new Promise((r, no) => { v.onloadeddata = r; v.onerror = () => no(new Error("the video cannot be played")); });
  v.playbackRate = 8;
  await v.play();
  await new Promise(r => { v.onended = r; });
  return { width: v.videoWidth, height: v.videoHeight, length: v.currentTime };
}, video);
writeFileSync(out + "record/index.html", `<!doctype html><html lang="en"><meta charset="utf-8"><title>One job from call to close</title>
<style>body{font:18px sans-serif;margin:20px}figure{display:inline-block;margin:0 12px 20px 0;vertical-align:top;width:260px}img,video{width:260px;border:1px solid #999}</style>
<h1>One job from call to close, 390 × 844</h1><p><video src="job.webm" controls></video></p>
${pictures.map((p, i) => `<figure><img src="${p.name}" alt=""><figcaption>${i + 1}. ${p.what}</figcaption></figure>`).join("\n")}</html>`);
must(played.width === phone.width && played.length > 5, "the video: " + JSON.stringify(played));
console.log(`recorded: ${frames.length} frames, ${played.length.toFixed(0)} s, ${(bytes.length / 1e6).toFixed(1)} MB; ${pictures.length} pictures: shots/record/index.html`);
await b.close();
await host.end();
if (faults.length) { console.error(faults.length + " faults"); process.exit(1); }
