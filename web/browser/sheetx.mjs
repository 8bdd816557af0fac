import { browser } from "./lib.mjs";
const b = await browser();
const [out, ...files] = process.argv.slice(2);
const p = await b.newPage({ viewport: { width: 400 * files.length, height: 1000 } });
import { writeFileSync } from "node:fs";
writeFileSync("/tmp/contact.html", `<body style="margin:0;display:flex;gap:6px;background:#f0f">${files.map(f => `<img src="file://${process.cwd()}/shots/phone-${f}.png" style="width:394px;align-self:flex-start">`).join("")}</body>`);
await p.goto("file:///tmp/contact.html"); await p.screenshot({ path: out, fullPage: true }); await b.close();
