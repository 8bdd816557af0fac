// The page of the exchange: one press, and the pieces follow each other. Without
// scripts each piece is a press of its own.
"use strict";
(() => {
  document.addEventListener("submit", async e => {
    const f = e.target, box = f.dataset.steps && document.getElementById(f.dataset.steps);
    if (!box) return;
    e.preventDefault();
    const b = f.querySelector("button");
    b.disabled = true;
    try {
      do {
        const r = await fetch(f.action, { method: "POST", headers: { "HX-Request": "true" } });
        if (!r.ok) throw new Error(await r.text());
        const t = document.createElement("template");
        t.innerHTML = await r.text();
        const now = t.content.getElementById(box.id);
        box.innerHTML = now.innerHTML;
        box.toggleAttribute("data-more", now.hasAttribute("data-more"));
        const only = document.getElementById("only"), lead = box.querySelector(".lead");
        if (only && lead) { only.textContent = lead.textContent; only.classList.toggle("warn", now.hasAttribute("data-left")); }
      } while (box.hasAttribute("data-more"));
    } catch { location.href = "/sync"; return; }
    b.disabled = false;
  }, true);
})();
