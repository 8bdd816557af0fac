// What the pages gain from scripts: the working in place, clocks that count,
// values at one tap, a smaller photo, the drawn signature. Nothing here is needed.
"use strict";
(() => {
  const root = document.documentElement;
  root.classList.add("scripts");

  // why? in place of a new page
  document.addEventListener("click", e => {
    const a = e.target.closest && e.target.closest("a.why");
    if (!a || e.ctrlKey || e.metaKey || e.shiftKey) return;
    e.preventDefault();
    const line = a.closest("p, .figure");
    const old = line.nextElementSibling;
    if (old && old.classList.contains("whybox-here")) {
      old.remove();
      a.setAttribute("aria-expanded", "false");
      return;
    }
    const box = document.createElement("div");
    box.className = "whybox-here";
    box.setAttribute("aria-live", "polite");
    line.after(box);
    a.setAttribute("aria-expanded", "true");
    fetch(a.href, { headers: { "HX-Request": "true" } })
      .then(r => r.ok ? r.text() : Promise.reject(r.status))
      .then(t => { box.innerHTML = t; })
      .catch(() => { location.href = a.href; });
  });

  document.addEventListener("click", e => {
    const b = e.target.closest && e.target.closest("button");
    if (!b) return;
    if (b.dataset.fill) {
      const f = document.getElementById(b.dataset.fill);
      f.value = f.tagName === "TEXTAREA" && f.value ? f.value + "; " + b.dataset.with : b.dataset.with;
      f.dispatchEvent(new Event("input", { bubbles: true }));
    } else if (b.dataset.copy) {
      const t = document.getElementById(b.dataset.copy);
      t.select();
      const said = () => { b.textContent = "Copied"; };
      if (navigator.clipboard) navigator.clipboard.writeText(t.value).then(said, () => document.execCommand("copy") && said());
      else if (document.execCommand("copy")) said();
    } else if ("print" in b.dataset) {
      document.querySelectorAll("details").forEach(d => { d.open = true; });
      print();
    } else if (b.dataset.unsign) {
      pads.get(b.dataset.unsign)?.clear();
    }
  });

  // clocks: absolute times, so a locked screen changes nothing
  const say = ms => {
    const s = Math.floor(Math.abs(ms) / 1000), m = Math.floor(s / 60);
    const t = m < 90 ? m + ":" + String(s % 60).padStart(2, "0") + " min" : Math.floor(m / 60) + " h " + String(m % 60).padStart(2, "0") + " min";
    return ms < 0 ? t + " over" : t;
  };
  const rung = new Set();
  const tick = () => {
    const now = Date.now();
    document.querySelectorAll("[data-due]").forEach(el => {
      const left = Date.parse(el.dataset.due) - now;
      if (Math.abs(left) < 48 * 3600e3) el.textContent = say(left);
      const id = el.dataset.due + el.closest("div")?.textContent.slice(0, 20);
      if (left < 0 && left > -60e3 && !rung.has(id)) {
        rung.add(id);
        el.closest(".clock")?.classList.add("over", "flash");
        if (navigator.vibrate) navigator.vibrate([600, 200, 600, 200, 600]);
      }
    });
    document.querySelectorAll("[data-since]").forEach(el => { el.textContent = say(now - Date.parse(el.dataset.since)); });
  };
  if (document.querySelector("[data-due], [data-since]")) { tick(); setInterval(tick, 1000); }

  // a form is sent once, and says that it is being sent
  document.addEventListener("submit", e => {
    const f = e.target;
    if (f.method !== "post" || e.defaultPrevented) return;
    if (f.dataset.sent) { e.preventDefault(); return; }
    f.dataset.sent = "1";
    setTimeout(() => { delete f.dataset.sent; }, 8000);
  });
  addEventListener("pageshow", () => document.querySelectorAll("form[data-sent]").forEach(f => { delete f.dataset.sent; }));

  // the photo is made smaller here, upright, without what the camera wrote into it
  const shrink = async file => {
    const most = 1600;
    const bmp = await createImageBitmap(file, { imageOrientation: "from-image" });
    const k = Math.min(1, most / Math.max(bmp.width, bmp.height));
    const c = document.createElement("canvas");
    c.width = Math.round(bmp.width * k);
    c.height = Math.round(bmp.height * k);
    c.getContext("2d").drawImage(bmp, 0, 0, c.width, c.height);
    bmp.close();
    return new Promise(done => c.toBlob(done, "image/jpeg", 0.82));
  };
  document.querySelectorAll("input[data-shrink]").forEach(input => {
    input.addEventListener("change", async () => {
      const file = input.files[0];
      if (!file) return;
      try {
        const small = await shrink(file);
        if (small && (small.size < file.size || !/jpeg|png/.test(file.type))) {
          const t = new DataTransfer();
          t.items.add(new File([small], "photo.jpg", { type: "image/jpeg" }));
          input.files = t.files;
        }
      } catch { /* sent as it is; the book says whether it can be read */ }
    });
  });
  const lat = document.querySelector("input[name=lat]");
  if (lat && navigator.geolocation && isSecureContext) {
    navigator.geolocation.getCurrentPosition(p => {
      lat.value = p.coords.latitude;
      document.querySelector("input[name=lon]").value = p.coords.longitude;
      document.querySelector("input[name=off]").value = p.coords.accuracy;
    }, () => {}, { timeout: 8000 });
  }

  // signature: points in thousandths of the width
  const pads = new Map();
  document.querySelectorAll("canvas[data-sign]").forEach(c => {
    const out = document.getElementById(c.dataset.sign), g = c.getContext("2d");
    let strokes = [], line = null;
    const at = e => { const b = c.getBoundingClientRect(); return [Math.round((e.clientX - b.left) / b.width * 1000), Math.round((e.clientY - b.top) / b.width * 1000)]; };
    const draw = () => {
      g.clearRect(0, 0, c.width, c.height);
      g.lineWidth = 6; g.lineCap = g.lineJoin = "round"; g.strokeStyle = "#000";
      for (const s of strokes) {
        g.beginPath();
        s.forEach((p, i) => i ? g.lineTo(p[0], p[1]) : g.moveTo(p[0], p[1]));
        g.stroke();
      }
    };
    const keep = () => { out.value = strokes.length ? JSON.stringify(strokes) : ""; };
    c.addEventListener("pointerdown", e => { e.preventDefault(); try { c.setPointerCapture(e.pointerId); } catch {} line = [at(e)]; strokes.push(line); });
    c.addEventListener("pointermove", e => {
      if (!line || line.length > 600) return;
      const p = at(e), q = line[line.length - 1];
      if (Math.abs(p[0] - q[0]) + Math.abs(p[1] - q[1]) > 4) { line.push(p); draw(); }
    });
    const end = () => {
      if (!line) return;
      line = null; draw(); keep();
      const signed = document.querySelector("input[name=how][value=signed]");
      if (signed) signed.checked = true;
    };
    c.addEventListener("pointerup", end);
    c.addEventListener("pointercancel", end);
    pads.set(c.dataset.sign, { clear() { strokes = []; draw(); keep(); } });
    try { strokes = JSON.parse(out.value || "[]"); draw(); } catch { strokes = []; }
  });

  // a job as a file by the phone's own share menu. Many browsers let no zip through
  // it: then the same bytes go as text, and are taken in all the same.
  const shared = (bytes, name) => {
    for (const [n, type] of [[name, "application/zip"], [name.replace(/\.zip$/, ".txt"), "text/plain"]]) {
      const f = new File([bytes], n, { type });
      try { if (navigator.canShare?.({ files: [f] })) return f; } catch { /* not this kind */ }
    }
    return null;
  };
  document.querySelectorAll("button[data-share]").forEach(b => {
    if (!shared(new Blob(["x"]), b.dataset.name)) return;
    const word = b.querySelector("span"), plain = b.closest(".acts").querySelector("a.main");
    let file = null;
    b.hidden = false;
    plain?.classList.remove("main");
    b.addEventListener("click", async () => {
      try {
        if (!file) {
          const r = await fetch(b.dataset.share);
          if (!r.ok) throw new Error(r.status);
          file = shared(await r.blob(), b.dataset.name);
        }
        await navigator.share({ files: [file], title: b.dataset.name });
      } catch (e) {
        if (e.name === "AbortError") return; // he changed his mind
        word.textContent = e.name === "NotAllowedError" && file ? "Ready: share it now" : "It cannot be shared: save the file";
      }
    });
  });

  // what looks again by itself does not while nobody sees it
  document.addEventListener("htmx:before:request", e => {
    if (document.hidden && e.target.closest?.("[data-live]")) e.preventDefault();
  });
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) document.querySelectorAll("[data-live]").forEach(el => el.dispatchEvent(new Event("seen")));
  });

  // times as the clock on the wall reads
  document.querySelectorAll("time[datetime]").forEach(t => {
    const d = new Date(t.getAttribute("datetime"));
    if (!isNaN(d)) t.title = d.toLocaleString();
  });
  if (location.hash === "#said") document.getElementById("said")?.scrollIntoView({ block: "start" });
})();
