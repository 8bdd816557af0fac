// The simulated heat in a worker of the browser, with progress and cancel; see
// doc.go for what page and worker say to each other.
"use strict";
(() => {
  document.querySelectorAll("form[data-worker]").forEach(f => {
    const box = document.getElementById("worker"), err = document.getElementById("worker-err");
    const said = box.querySelector("[data-say]"), bar = box.querySelector("progress");
    let worker = null;
    const stop = text => {
      worker?.terminate();
      worker = null;
      box.hidden = true;
      f.hidden = false;
      err.hidden = !text;
      err.textContent = text || "";
    };
    const sentence = (text, otherwise) => new DOMParser().parseFromString(text, "text/html").querySelector("main .lead")?.textContent.trim() || otherwise;
    const keep = async text => {
      const body = new FormData();
      for (const n of ["key", "item"]) body.set(n, f.querySelector(`[name=${n}]`).value); // elements.item is a method
      body.set("result", text);
      const r = await fetch(f.action, { method: "POST", body });
      if (!r.ok) throw new Error(sentence(await r.text(), "It was not kept."));
      location.href = r.redirected ? r.url : location.href.replace(/#.*/, "");
      if (!r.redirected) location.reload();
    };
    f.addEventListener("submit", async e => {
      e.preventDefault();
      if (worker) return;
      stop("");
      const own = worker = new Worker(f.dataset.worker);
      f.hidden = true;
      box.hidden = false;
      bar.removeAttribute("value");
      said.textContent = "It begins.";
      box.querySelector("[data-cancel]").focus();
      own.onerror = () => { if (worker === own) stop("It cannot be worked out on this device: the worker did not start."); };
      own.onmessage = m => {
        if (worker !== own) return;
        const d = m.data;
        if (d.progress) {
          const p = d.progress;
          said.textContent = (p.run || "It begins") + (p.event ? ": " + p.event : "") + (p.time >= 60 ? ", minute " + Math.floor(p.time / 60) : "") + ".";
          if (p.of > 0) bar.value = Math.min(99, Math.max(0, p.part - 1) * 100 / p.of);
        } else if (d.result) {
          said.textContent = "It is being kept.";
          keep(d.result).catch(x => stop(x.message));
        } else if (d.error) {
          stop(d.error);
        }
      };
      try {
        const ask = new URLSearchParams(new FormData(f));
        ask.delete("key");
        const r = await fetch(f.dataset.input + "?" + ask);
        const text = await r.text();
        if (!r.ok) throw new Error(sentence(text, "Its input cannot be read."));
        if (worker === own) own.postMessage({ input: text });
      } catch (x) {
        if (worker === own) stop(x.message);
      }
    });
    box.querySelector("[data-cancel]").addEventListener("click", () => stop(""));
  });
})();
