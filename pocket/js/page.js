// What the pages of a phone do beyond those of a computer: take a new build when
// no form is open, and ask the browser to keep the book.
"use strict";
(() => {
  if (!("serviceWorker" in navigator)) return;
  const sw = navigator.serviceWorker;
  let taken = false;
  const typed = () => [...document.querySelectorAll("form.big input:not([type=hidden]), form.big textarea")].some(f => f.type === "radio" || f.type === "checkbox" ? f.checked !== f.defaultChecked : f.value !== f.defaultValue);
  sw.addEventListener("controllerchange", () => { if (taken && !typed()) location.reload(); });
  const offer = reg => {
    if (!reg.waiting || document.getElementById("new-build")) return;
    const p = document.createElement("p");
    p.id = "new-build";
    p.className = "caution";
    p.setAttribute("role", "status");
    p.textContent = "A new version of this program is on the phone. ";
    const b = document.createElement("button");
    b.type = "button";
    b.className = "plain";
    b.textContent = "Change to it now";
    b.addEventListener("click", () => {
      if (typed()) { p.firstChild.textContent = "Send the form on this page first: what is typed would be lost. "; return; }
      taken = true;
      reg.waiting.postMessage("take");
    });
    p.append(b);
    document.getElementById("main").prepend(p);
  };
  sw.getRegistration().then(reg => {
    if (!reg) return;
    offer(reg);
    reg.addEventListener("updatefound", () => reg.installing?.addEventListener("statechange", () => { if (reg.waiting && sw.controller) offer(reg); }));
    const last = Number(sessionStorage.getItem("asked") || 0);
    if (navigator.onLine && Date.now() - last > 3600e3) {
      sessionStorage.setItem("asked", String(Date.now()));
      reg.update().catch(() => { /* the host is not there; the next time will do */ });
    }
  });
  navigator.storage?.persisted?.().then(kept => kept || navigator.storage.persist());
})();
