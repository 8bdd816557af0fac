// Every page that the handler has, at least once on a phone and once at a desk:
// accessibility, size of what is pressed and read, width. The routes are read from
// the program's own list; one that was not looked at is a fault. Started by run.sh.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { browser, Host, phone, desk, faults, fault, must, look, weigh, watch, measured, pick, press, send, log, readyToWeld } from "./lib.mjs";

const program = process.argv[2];
const began = Date.now();
const b = await browser();

// what a GET answers that is no page: fetched, not looked at
const noPages = {
  "/assets/{hash}/{name}": /css|javascript|svg|text/, "/photos/{hash}": /^image\//, "/jobs/{job}/draw/{item}/{name}": /svg/,
  "/jobs/{job}/chart/{item}": /svg/, "/jobs/{job}/heat/input": /text|json/, "/jobs/{job}/papers/{file}": /pdf/, "/jobs/{job}/file.zip": /zip/,
};

// the routes, from the source
const source = name => readFileSync(new URL("../" + name, import.meta.url), "utf8");
const handler = source("handler.go"), actions = source("actions.go");
const names = list => [...actions.match(new RegExp(`var ${list} = map\\[string\\]action\\{([\\s\\S]*?)\\n\\}`))[1].matchAll(/"([a-z-]+)":\s*\{/g)].map(m => m[1]);
const routes = [...handler.matchAll(/(?:get\("|add\("GET )(\/[^"]*)", /g)].map(m => m[1]).filter(r => r !== "/jobs/{job}/")
  .concat(names("bookActions").map(n => "/" + n), names("jobActions").map(n => "/jobs/{job}/" + n)).map(r => r.replace("{$}", ""));
must(routes.length > 70, `only ${routes.length} routes found in the source`);
const order = [...routes].sort((a, b) => a.split("{").length - b.split("{").length); // the one with the fewest blanks first
const shape = r => new RegExp("^" + r.replace(/[.]/g, "\\.").replace(/\{\w+\}/g, "[^/]+") + "$");
const shapes = order.map(r => [r, shape(r)]);
const routeOf = url => shapes.find(([, re]) => re.test(new URL(url).pathname))?.[0];

// the book: a job at work, a closed one that left the plan, a device let in
const host = new Host(program), other = new Host(program);
const at = await host.start(), there = await other.start(["--no-demo"]);
const first = await b.newContext({ viewport: phone, reducedMotion: "reduce" });
const hand = await first.newPage();
hand.base = at; hand.setDefaultTimeout(20000);
await log(hand, at + "/settings", { welder: "R. Hand" });
await log(hand, at + "/shop", { shop: "Plain Bench" });
const left = async job => {
  for (let i = 0; i < 20; i++) {
    await hand.goto(job);
    const open = hand.locator("a.button:has-text('What was done')");
    if (!(await open.count())) return;
    await open.first().click(); await hand.fill('[name="done"]', "seen, noted, told the customer"); await send(hand);
  }
};
const closed = await readyToWeld(hand, "Rail of the crusher");
await log(hand, closed.at + "/bead", { temp: "25 C", rods: "2", length: "200 mm", amps: "120" });
await left(closed.at);
await log(hand, `${closed.at}/override?hold=${closed.place}%2Fafter-hold`, { reason: "tested by the pit's own inspector" });
await left(closed.at);
await hand.goto(closed.at + "/close"); await hand.fill('[name="done"]', "gouged, welded, ground flush"); await hand.locator('input[name="not"]').first().check({ force: true }); await send(hand);
const open = await readyToWeld(hand, "Rail of the screen");
await log(hand, open.at + "/reading", { temp: "180 C", place: "right end" });
await log(hand, open.at + "/bead", { temp: "25 C", rods: "2", length: "200 mm" }); // cold: it is not put right
await log(hand, open.at + "/clock", { what: "check-in", for: "30 min", call: "the yard" });
const png = Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAIAAAACCAIAAAD91JpzAAAAEElEQVR4nGP4z8AARAwQCgAf7gP9i18U1AAAAABJRU5ErkJggg==", "base64");
writeFileSync(join(host.dir, "crack.png"), png);
await hand.goto(open.at + "/photo"); await hand.setInputFiles('[name="photo"]', join(host.dir, "crack.png")); await send(hand);
await hand.goto(open.at + "/found"); await hand.locator('input[name="item"]').first().check({ force: true });
await hand.fill('[name="text"]', "the crack runs on"); await hand.fill('[name="i.crack.length"]', "200 mm"); await send(hand);
await hand.goto(at + "/devices"); await press(hand, "Let a device in");
const code = (await hand.textContent(".code .value")).replace(/\D/g, "");
await log(hand, there + "/sync?code=" + code, { address: at });
await hand.goto(at + "/");
const places = await hand.locator("a.cover:has-text('Tipper')").getAttribute("href");

// what no link leads to in one step
const seeds = [at + "/", at + "/machines", at + "/customers", at + "/shop", open.at + "/log", at + "/take-in", at + "/due", open.at, closed.at, closed.at + "/papers", closed.at + "/record", closed.at + "/log", closed.at + "/hand-over", open.at + "/log", at + places, there + "/sync", there + "/sync/leave", at + "/devices", at + "/devices/code", at + "/explain/preheat-cet/sheet", there + "/", there + "/due", there + "/machines", there + "/shop"];
const twice = new Set([at + places, closed.at, closed.at + "/papers", closed.at + "/record", there + "/", there + "/sync", there + "/due", there + "/machines", there + "/shop"]); // another face of a page that is visited anyhow
// those whose address a form gives away only in its own state
const made = [open.at + "/refuse", open.at + "/accept", open.at + "/new-place", open.at + "/drop-place?item=" + open.place, open.at + "/note", at + "/clear-demo", open.at + "/agree", open.at + "/post-heat?item=" + open.place, ...["", "/input", "/progress"].map(p => `${open.at}/heat${p}?item=${open.place}`), open.at + "/torch?item=" + open.place, open.at + "/look?item=" + open.place, open.at + "/gouge?item=" + open.place, open.at + "/override?hold=" + open.place + "%2Fafter-hold", open.at + "/tin"];

const seen = new Map(); // route: address
let n = 0;
for (const size of [phone, desk]) {
  seen.clear();
  const ctx = await b.newContext({ viewport: size, hasTouch: size === phone, reducedMotion: "reduce" });
  const page = await ctx.newPage(); watch(page, /404|409/); weigh(page); page.setDefaultTimeout(20000);
  const queue = [...seeds], tried = new Set(), rest = [...made];
  while (queue.length || rest.length) {
    const url = (queue.length ? queue.shift() : rest.shift()).replace(/#.*/, "");
    const route = routeOf(url), again = twice.has(url);
    if (!route || tried.has(url) || seen.has(route) && !again) continue;
    tried.add(url);
    const kind = noPages[route];
    if (kind) {
      const r = await page.request.get(url);
      if (must(r.ok() && kind.test(r.headers()["content-type"]), `${url}: ${r.status()} ${r.headers()["content-type"]}`)) seen.set(route, url);
      continue;
    }
    const r = await page.goto(url);
    if (r.status() !== 200) { console.log(`  note ${route}: ${r.status()} at ${url}`); continue; }
    seen.set(route, url);
    await page.locator("details").evaluateAll(all => all.forEach(d => { d.open = true; }));
    await look(page, "every-" + (route.slice(1).replace(/[{}]/g, "").replace(/\//g, "-") || "start") + (again ? "-" + ++n : ""));
    // a form of one press has a page of its own too
    queue.push(...await page.locator("form[method=post][action]").evaluateAll(all => all.map(f => new URL(f.getAttribute("action") + "?" + new URLSearchParams([...f.querySelectorAll("input[type=hidden]")].filter(i => i.name !== "key").map(i => [i.name, i.value])), location.href).href)));
    queue.push(...await page.locator("a[href], img[src], link[href], [hx-get]").evaluateAll(all => all.map(e => new URL(e.getAttribute("hx-get") || e.getAttribute("href") || e.getAttribute("src"), location.href).href).filter(u => /^http/.test(u))));
  }
  for (const route of routes) if (!seen.has(route)) fault(`${size === phone ? "phone" : "desk"}: nobody looked at ${route}`);
  console.log(`${size === phone ? "phone" : "desk"}: ${seen.size} of ${routes.length} routes looked at, ${((Date.now() - began) / 1000).toFixed(0)} s so far`);
  await ctx.close();
}
await b.close();
await other.end(); await host.end();
console.log(`${measured.pages} pages looked at, ${measured.targets} targets, the smallest ${Math.round(measured.least)} px`);
if (faults.length) { console.error(faults.length + " faults"); process.exit(1); }
