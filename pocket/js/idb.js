// The book in IndexedDB. Each function is one transaction with durability
// "strict"; what it has written is on disk when its promise is kept.
"use strict";
self.pocketStoreAt = NAME => {
  const VERSION = 1;
  let opened = null;

  const open = () => opened ??= new Promise((done, failed) => {
    const q = indexedDB.open(NAME, VERSION);
    q.onupgradeneeded = () => {
      const db = q.result;
      db.createObjectStore("entries");   // [device, number] -> row
      db.createObjectStore("files");     // hash -> bytes
      db.createObjectStore("sizes");     // hash -> number of bytes
      db.createObjectStore("snapshots"); // name -> { head, data }
      db.createObjectStore("kept");      // name -> bytes
    };
    q.onsuccess = () => {
      q.result.onversionchange = q.result.onclose = () => { q.result.close(); opened = null; };
      done(q.result);
    };
    q.onerror = () => { opened = null; failed(q.error); };
    q.onblocked = () => { opened = null; failed(new DOMException("another page of an older build keeps the book open: close it", "InvalidStateError")); };
  });

  // within runs f in one transaction and keeps its promise when that is complete.
  const within = async (stores, mode, f) => {
    const db = await open();
    return new Promise((done, failed) => {
      const tx = db.transaction(stores, mode, { durability: "strict" });
      let out, why;
      tx.oncomplete = () => done(typeof out === "function" ? out() : out);
      tx.onabort = () => failed(why || tx.error || new DOMException("the browser gave it up", "AbortError"));
      tx.onerror = e => { why ??= e.target.error; };
      try { out = f(tx); } catch (e) { why = e; tx.abort(); }
    });
  };

  return {
    load: () => within(["entries", "sizes", "snapshots"], "readonly", tx => {
      const rows = tx.objectStore("entries").getAll(), names = tx.objectStore("sizes").getAllKeys(), sizes = tx.objectStore("sizes").getAll(), snapshots = tx.objectStore("snapshots").getAll();
      return () => ({ rows: rows.result.join("\n"), sizes: names.result.map((h, i) => h + " " + sizes.result[i]).join("\n"), snapshots: snapshots.result });
    }),
    write: (rows, files) => within(["entries", "files", "sizes"], "readwrite", tx => {
      const entries = tx.objectStore("entries");
      for (const row of rows) {
        const f = row.split("\t", 2);
        entries.add(row, [f[0], Number(f[1])]); // add, not put: what is there is never written over
      }
      for (const [hash, bytes] of files) {
        tx.objectStore("files").put(bytes, hash);
        tx.objectStore("sizes").put(bytes.byteLength, hash);
      }
    }),
    blob: hash => within(["files"], "readonly", tx => { const q = tx.objectStore("files").get(hash); return () => q.result ?? null; }),
    putSnapshot: (name, head, data) => within(["snapshots"], "readwrite", tx => { tx.objectStore("snapshots").put({ head, data }, name); }),
    get: name => within(["kept"], "readonly", tx => { const q = tx.objectStore("kept").get(name); return () => q.result ?? null; }),
    put: (name, data) => within(["kept"], "readwrite", tx => { tx.objectStore("kept").put(data, name); }),
    count: () => within(["entries", "files"], "readonly", tx => {
      const e = tx.objectStore("entries").count(), f = tx.objectStore("files").count();
      return () => ({ entries: e.result, files: f.result });
    }),
    // forget takes everything off this device.
    forget: async () => {
      if (opened) (await opened).close();
      opened = null;
      return new Promise((done, failed) => { const q = indexedDB.deleteDatabase(NAME); q.onsuccess = () => done(); q.onerror = () => failed(q.error); q.onblocked = () => failed(new DOMException("another page keeps the book open: close it", "InvalidStateError")); });
    },
  };
};
self.pocketStore = self.pocketStoreAt("soundmetal-book");
