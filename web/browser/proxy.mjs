// A proxy before the host that can be told to fail: it cuts, delays, drops or
// doubles what goes to the host, plays a host with a newer build, and serves a
// page that drives itself, for tests without a debugger.
import http from "node:http";

export class Proxy {
  constructor(target) {
    this.target = target; // "127.0.0.1:port"
    this.fault = null;    // (request, number) => "cut" | "drop" | "double" | "late" | "bad" | null
    this.newer = null;    // a hash that is played for the true one
    this.seen = [];
    this.pages = {};      // path -> html
    this.reports = [];
    this.dead = false;
  }
  async start() {
    this.server = http.createServer((req, res) => this.serve(req, res).catch(() => res.destroy()));
    await new Promise(r => this.server.listen(0, "127.0.0.1", r));
    this.url = "http://127.0.0.1:" + this.server.address().port;
    return this.url;
  }
  stop() { this.server.closeAllConnections(); this.server.close(); }

  async serve(req, res) {
    const path = req.url.split("?")[0];
    if (this.pages[path]) { res.writeHead(200, { "Content-Type": "text/html" }); res.end(this.pages[path]); return; }
    const chunks = [];
    for await (const c of req) chunks.push(c);
    const body = Buffer.concat(chunks);
    if (path === "/net/report") { this.reports.push(JSON.parse(body)); this.told?.(); res.end("ok"); return; }
    if (this.dead) { res.destroy(); return; }
    this.seen.push(req.method + " " + path);
    const fault = path.startsWith("/net/") && this.fault ? this.fault(req.method + " " + path, this.seen.filter(s => s.includes(" /net/")).length) : null;
    if (fault === "lost") { res.destroy(); return; }            // it never reached the host
    if (fault === "bad") { res.writeHead(502); res.end("bad gateway"); return; }
    if (fault === "late") await new Promise(r => setTimeout(r, 400));
    let a = await this.ask(req, body);
    if (fault === "double") a = await this.ask(req, body);       // it reached the host twice
    if (fault === "drop") { res.destroy(); return; }             // the answer is lost
    if (fault === "cut") { res.writeHead(a.status, a.headers); res.write(a.body.subarray(0, Math.floor(a.body.length / 2))); setTimeout(() => res.destroy(), 20); return; }
    res.writeHead(a.status, a.headers);
    res.end(a.body);
  }
  ask(req, body) {
    let path = req.url;
    if (this.newer && this.hash) path = path.replace(this.newer, this.hash);
    const [host, port] = this.target.split(":");
    const headers = { ...req.headers };
    if (this.host) headers.host = this.host; // a name of its own that the host need not know
    if (path === "/sw.js") delete headers["accept-encoding"];
    return new Promise((done, failed) => {
      const up = http.request({ host, port, path, method: req.method, headers }, r => {
        const parts = [];
        r.on("data", d => parts.push(d));
        r.on("end", () => {
          let data = Buffer.concat(parts);
          const h = { ...r.headers };
          delete h["transfer-encoding"];
          if (path === "/sw.js") {
            const text = data.toString();
            this.hash ??= text.match(/"hash":"([0-9a-f]+)"/)[1];
            if (this.newer) data = Buffer.from(text.replaceAll(this.hash, this.newer));
            delete h["content-length"];
          }
          done({ status: r.statusCode, headers: h, body: data });
        });
      });
      up.on("error", failed);
      up.end(body);
    });
  }
}
