// The page that puts the book on a phone and takes it off again.
"use strict";
(() => {
  const el = id => document.getElementById(id);
  const code = new URLSearchParams(location.hash.slice(1)).get("code");
  const say = text => { el("say").textContent = text; };
  const check = (ok, text) => {
    const li = document.createElement("li");
    li.textContent = (ok ? "Yes: " : "No: ") + text;
    el("checks").append(li);
    return ok;
  };
  const onward = code ? "/sync?code=" + encodeURIComponent(code) : "/";

  const look = async () => {
    el("checks").replaceChildren();
    let can = true;
    can = check(isSecureContext, isSecureContext ? "the address is secure (https)" : "the address is plain http: a browser keeps nothing for offline then. Online the book works; docs/phone.md has the ways to https") && can;
    if (isSecureContext) {
      can = check("serviceWorker" in navigator, "serviceWorker" in navigator ? "the browser can answer pages itself" : "this browser cannot answer pages itself, or the window is private: use a usual window of a current browser") && can;
      can = check("WebAssembly" in window, "WebAssembly" in window ? "it can run the program" : "this browser is too old to run the program") && can;
    }
    let open = false;
    try { await pocketStore.count(); open = true; } catch { /* said below */ }
    can = check(open, open ? "it can keep entries and photos" : "storage is refused here: a private window, or a setting of the browser") && can;
    if (can && navigator.storage?.estimate) {
      const { quota = 0, usage = 0 } = await navigator.storage.estimate();
      const free = Math.floor((quota - usage) / 1e6);
      check(free > 200, free > 200 ? `${free > 5000 ? "more than 5000" : free} MB may be used` : `only ${free} MB may be used: photos will not go far`);
      const kept = await navigator.storage.persisted?.();
      if (!kept) check(false, "the browser has not promised to keep it. It may delete what is here when the phone is full or the book is not used for long: install it to the home screen and exchange often");
      else check(true, "the browser promises to keep it");
    }
    return can;
  };

  const controlled = () => navigator.serviceWorker?.controller;
  const count = async () => {
    const n = await pocketStore.count();
    el("here").textContent = `There are ${n.entries} entries and ${n.files} files on this phone; the page Exchange says how many are here only.`;
  };

  const keep = async () => {
    el("keep").disabled = true;
    say(`Fetching the program, about ${(el("keep").dataset.mb / 10).toFixed(1)} MB …`);
    try {
      const reg = await navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" });
      const worker = reg.installing || reg.waiting || reg.active;
      if (worker.state !== "activated") await new Promise((done, failed) => worker.addEventListener("statechange", () => {
        if (worker.state === "activated") done();
        if (worker.state === "redundant") failed(new Error("the files did not all come"));
      }));
      await navigator.storage?.persist?.();
      for (let i = 0; !controlled() && i < 100; i++) await new Promise(r => setTimeout(r, 50));
      await look();
      say("The book is on this phone.");
      el("keep").hidden = true;
      el("open").hidden = false;
      el("open").href = onward;
      if (code) location.href = onward;
    } catch (err) {
      say("It did not work: " + err.message + ". Nothing was changed; try again with a better signal.");
      el("keep").disabled = false;
    }
  };

  const remove = async () => {
    if (el("sure").value.trim().toLowerCase() !== "delete") { say("Type delete into the box first."); return; }
    try {
      for (const reg of await navigator.serviceWorker.getRegistrations()) await reg.unregister();
      for (const name of await caches.keys()) if (name.startsWith("pocket-")) await caches.delete(name);
      await pocketStore.forget();
      say("It is deleted here. Close this page.");
      el("open").hidden = true;
    } catch (err) { say("It could not be deleted: " + err.message); }
  };

  el("keep").addEventListener("click", keep);
  el("remove").addEventListener("click", remove);
  look().then(can => {
    if (controlled()) {
      el("open").hidden = false;
      el("open").href = onward;
      say("The book is on this phone already.");
    } else if (can) el("keep").hidden = false;
    else say("The book cannot be kept on this phone here. It works while the office computer can be reached; take the sheets on paper too.");
    if (can) count();
  });
})();
