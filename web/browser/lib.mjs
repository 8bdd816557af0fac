// Chromium, a fresh book and the checks that every page is held to.
import { spawn } from "node:child_process";
import { mkdtempSync, mkdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { chromium } from "playwright-core";

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

export const phone = { width: 390, height: 844 };
export const desk = { width: 1280, height: 900 };

const settings = {
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
};

export async function browser(more = []) { return chromium.launch({ ...settings, args: [...settings.args, ...more] }); }

// launchKept starts a browser whose data stay in a folder: a phone.
export async function launchKept(dir, viewport) { return chromium.launchPersistentContext(dir, { ...settings, viewport }); }

// Host runs the program on a folder of its own; restart() stops and starts it.
export class Host {
  constructor(program) {
    this.program = program;
    this.dir = mkdtempSync(join(tmpdir(), "soundmetal-browser-"));
  }
  async start(args = []) {
    this.child = spawn(this.program, ["serve", "--data", join(this.dir, "book"), "--addr", this.addr || "127.0.0.1:0", "--no-login", ...args]);
    await new Promise((up, down) => {
      let said = "";
      this.child.stderr.on("data", d => {
        said += d;
        const m = said.match(/at (http:\/\/([\d.:]+))/);
        if (m) { this.url = m[1]; this.addr = m[2]; up(); }
      });
      this.child.on("exit", c => down(new Error("the program ended: " + c + " " + said)));
    });
    return this.url;
  }
  async stop(signal = "SIGTERM") {
    const gone = new Promise(r => this.child.on("exit", r));
    this.child.kill(signal);
    await gone;
  }
  async end() {
    await this.stop().catch(() => {});
    rmSync(this.dir, { recursive: true, force: true });
  }
}

export const faults = [];
export function fault(text) { faults.push(text); console.error("FAIL", text); }
export function must(ok, text) { if (!ok) fault(text); return ok; }

const measured = { targets: 0, least: Infinity, pages: 0, heaviest: 0 };
export { measured };

// look checks a page: accessibility, size of what is pressed, width, and keeps a picture.
export async function look(page, name) {
  measured.pages++;
  const size = page.viewportSize();
  await page.evaluate(axe);
  // the policy forbids what axe would add to the page, not axe itself: it is evaluated by the driver
  const found = await page.evaluate(async () => (await axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"] })).violations
    .map(v => ({ id: v.id, impact: v.impact, nodes: v.nodes.length, at: v.nodes[0].target.join(" "), text: v.nodes[0].failureSummary })));
  for (const f of found) {
    if (f.impact === "serious" || f.impact === "critical") fault(`${name}: ${f.id} (${f.impact}) ${f.nodes} × ${f.at}: ${f.text}`);
    else console.log(`  note ${name}: ${f.id} (${f.impact}) ${f.at}`);
  }
  const small = await page.evaluate(() => {
    const all = [];
    let least = Infinity, n = 0;
    for (const el of document.querySelectorAll("button, .button, .bar a, .top a, .links a, .acts.slim a, .ans, .chip label, input[type=text], textarea")) {
      const b = el.getBoundingClientRect();
      if (b.width === 0 || b.height === 0) continue;
      n++;
      least = Math.min(least, b.height, b.width);
      if (b.height < 75.5 || b.width < 75) all.push(`${el.tagName} ${el.textContent.trim().slice(0, 30)} ${Math.round(b.width)}×${Math.round(b.height)}`);
    }
    return { all, least, n, wide: document.documentElement.scrollWidth - innerWidth };
  });
  measured.targets += small.n;
  measured.least = Math.min(measured.least, small.least);
  for (const s of small.all.slice(0, 3)) fault(`${name}: target smaller than 20 mm (76 px): ${s}`);
  if (small.wide > 0) fault(`${name}: ${small.wide} px wider than the screen`);
  const fonts = await page.evaluate(() => {
    let least = Infinity, at = "";
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const el = walk.currentNode.parentElement;
      if (!walk.currentNode.textContent.trim() || !el.getClientRects().length || el.closest("svg")) continue;
      const s = parseFloat(getComputedStyle(el).fontSize);
      if (s < least) { least = s; at = walk.currentNode.textContent.trim().slice(0, 40); }
    }
    return { least, at };
  });
  if (fonts.least < 18) fault(`${name}: text of ${fonts.least} px: ${fonts.at}`);
  mkdirSync(new URL("./shots/", import.meta.url), { recursive: true });
  const file = `${size.width < 500 ? "phone" : "desk"}-${name}`;
  await page.screenshot({ path: new URL(`./shots/${file}.png`, import.meta.url).pathname });
  if (process.env.SHOTS === "full") await page.screenshot({ path: new URL(`./shots/${file}-full.png`, import.meta.url).pathname, fullPage: true });
}

export function weigh(page) {
  let sum = 0;
  page.on("response", async r => {
    if (r.request().resourceType() === "document") sum = 0;
    if (/\/photos\//.test(r.url())) return;
    try { sum += (await r.body()).length; measured.heaviest = Math.max(measured.heaviest, sum); } catch { /* a redirect has no body */ }
  });
}

// watch makes every script error and every blocked resource a fault.
export function watch(page, pass = /^$/) {
  page.on("pageerror", e => fault("script: " + e.message));
  page.on("console", m => { if (m.type() === "error" && !/422|Failed to load resource/.test(m.text()) && !pass.test(m.text())) fault("console: " + m.text()); });
}

// What a hand does: choose a word, press a button, send the form of the page.
export const pick = async (page, name, value) => page.locator(`input[name="${name}"][value="${value}"]`).check({ force: true });
export const press = async (page, text) => { await Promise.all([page.waitForLoadState("load"), page.locator(`button:has-text("${text}"), a.button:has-text("${text}")`).first().click()]); await page.waitForLoadState("load"); };
export const send = async page => { await Promise.all([page.waitForNavigation(), page.locator("form.big .send button.main").first().click()]); };

// log fills the form of a page, radio buttons by their value, and sends it.
export async function log(page, path, fields = {}) {
  await page.goto(path);
  await fill(page, fields);
  await send(page);
}

export async function fill(page, fields) {
  for (const [name, value] of Object.entries(fields)) {
    const all = page.locator(`form.big [name="${name}"]`);
    if (/radio|checkbox/.test(await all.first().getAttribute("type") || "")) await pick(page, name, value);
    else await all.fill(value);
  }
}

// readyToWeld opens a job and takes it to its first bead, one tap for each step.
export async function readyToWeld(page, name) {
  await log(page, page.base + "/new", { name, units: "si", "j.machine.kind": "stone crusher", "j.machine.lifts_people": "no", "j.machine.hangs_load": "no", "j.machine.on_road": "no",
    "i.contains": "nothing", "i.part": "frame rail", "i.role": "structure", "i.crack.length": "120", "i.thickness": "20", "i.shape": "plate", "j.site.fire_ban": "no", "i.crack.ends": "both", "c.name": "Grey Pit" });
  await press(page, "To the job sheet");
  const at = page.url().replace(/[?#].*/, "");
  const until = async word => {
    for (let i = 0; i < 90; i++) {
      const next = page.locator("section.next");
      if (word.test(await next.textContent())) return;
      await Promise.all([page.waitForNavigation(), next.locator('button:has-text("Yes, done"), button:has-text("Done")').first().click()]);
    }
    must(false, "the sheet comes to " + word);
  };
  await until(/Crack gone/);
  await log(page, at + "/gouge", { length: "150 mm", depth: "20 mm" });
  await log(page, at + "/look", { stage: "gone", method: "pt", result: "clear" });
  await page.locator("section.next a:has-text('Crack gone')").click(); await pick(page, "how", "dye"); await send(page);
  await until(/Heat reached/);
  await log(page, at + "/tin", { class: "E7018-H4R", size: "3.2 mm", from: "sealed" });
  await log(page, at + "/reading", { temp: "175 C", place: "left end" });
  await Promise.all([page.waitForNavigation(), page.locator('section.next button:has-text("Heat reached")').click()]);
  return { at, place: (await page.locator('a[href*="/bead?item="]').first().getAttribute("href")).split("item=")[1] };
}
