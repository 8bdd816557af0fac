// The service worker: it answers every page of the book from the program in this
// phone, and never from the network. Only /net/ (the exchange with the host),
// the way in, and the files of this build come from outside. The host puts
// pocketBuild before this text: { hash, files, wasm, fonts, scripts, manifest,
// script, worker }.
"use strict";
/* global pocketBuild, pocketStore, Go */
importScripts(...pocketBuild.scripts);
self.pocketRole = "pages";
self.pocketManifest = pocketBuild.manifest;
self.pocketScript = pocketBuild.script;
self.pocketWorker = pocketBuild.worker;
const CACHE = "pocket-" + pocketBuild.hash;
const outside = /^\/(net\/|login$|logout$|sw\.js$)/;

self.addEventListener("install", e => e.waitUntil((async () => {
  const cache = await caches.open(CACHE);
  try {
    await cache.addAll(pocketBuild.files);
  } catch (err) {
    await caches.delete(CACHE); // half a build is none
    throw err;
  }
})()));

self.addEventListener("activate", e => e.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("pocket-") && name !== CACHE) await caches.delete(name);
  await self.clients.claim();
})()));

// A new build waits until a page says that nobody is filling in a form.
self.addEventListener("message", e => {
  if (e.data === "take") self.skipWaiting();
  if (e.data === "hash") e.source.postMessage({ hash: pocketBuild.hash });
});

// One program at a time. It is started at the first request and started again
// where it has ended, or where another one has written into the book.
let running = null;
const stop = mine => { if (running === mine) running = null; };
function start() {
  if (running) return running;
  const program = {};
  const mine = (async () => {
    const go = new Go();
    const kept = async path => (await caches.match(path)) || fetch(path);
    // first the faces: behind the program, which is large, they would wait for its last byte
    self.pocketFonts = Object.fromEntries(await Promise.all(Object.entries(pocketBuild.fonts).map(async ([name, path]) => [name, new Uint8Array(await (await kept(path)).arrayBuffer())])));
    const { instance } = await WebAssembly.instantiateStreaming(kept(pocketBuild.wasm), go.importObject);
    const ready = new Promise((done, failed) => {
      self.pocketReady = p => { Object.assign(program, p); done(); };
      self.pocketFailed = text => failed(new Error(text));
    });
    program.end = go.run(instance).then(() => { stop(mine); throw new Error("the program ended"); });
    program.end.catch(() => {});
    await Promise.race([ready, program.end]);
    self.pocketFonts = null;
    return program;
  })();
  running = mine;
  mine.catch(() => stop(mine));
  return mine;
}

const plain = (status, text) => new Response(
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>soundmetal</title><body><h1>Not now</h1><p>${text}</p><p><a href="">Try again</a></p></body></html>`,
  { status, headers: { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": "default-src 'none'", "Cache-Control": "no-store" } });

const escape = s => String(s).replace(/[&<>"]/g, c => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" })[c]);

// own says that a request comes from a page of this book: a foreign page can post
// a form here too, and there is no cookie that would tell them apart.
const own = request => { try { return new URL(request.referrer).origin === location.origin; } catch { return false; } };

async function answer(request) {
  if (request.method !== "GET" && request.method !== "HEAD" && !own(request)) return plain(403, "This form does not come from a page of this book. Nothing was saved.");
  const q = { method: request.method, url: request.url, headers: [...request.headers], body: null };
  if (request.method !== "GET" && request.method !== "HEAD") q.body = new Uint8Array(await request.arrayBuffer());
  let why;
  // Twice at most: every form has a key, so that asking again does nothing twice.
  for (let n = 0; n < 2; n++) {
    const mine = start();
    try {
      const program = await mine;
      const a = await Promise.race([program.handle(q), program.end]);
      if (program.stale()) { stop(mine); if (a.status >= 500) { why = new Error("another program has written into the book"); continue; } }
      const empty = a.status === 204 || a.status === 304 || request.method === "HEAD";
      return new Response(empty ? null : a.body, { status: a.status, headers: a.headers });
    } catch (err) {
      why = err;
      stop(mine);
    }
  }
  console.error(why);
  return plain(503, "This page could not be made; nothing of it was saved. " + escape(why?.message ?? why));
}

self.addEventListener("fetch", e => {
  const url = new URL(e.request.url);
  if (url.origin !== location.origin || outside.test(url.pathname)) return;
  if (url.pathname === "/pocket") { // the host's page about this phone, where the host is there
    e.respondWith(fetch(e.request).catch(() => caches.match("/pocket")).then(r => r || plain(504, "The host is not there.")));
    return;
  }
  if (url.pathname.startsWith("/pocket/") || url.pathname.startsWith("/assets/")) {
    e.respondWith(caches.match(url.pathname).then(r => r || (url.pathname.startsWith("/assets/") ? answer(e.request) : fetch(e.request))));
    return;
  }
  e.respondWith(answer(e.request));
});
