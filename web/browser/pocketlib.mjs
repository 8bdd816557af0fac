// What the tests of a phone share.

// count counts what is in the browser's storage, past the program.
export const count = page => page.evaluate(() => new Promise((done, failed) => {
  const q = indexedDB.open("soundmetal-book");
  q.onerror = () => failed(q.error);
  q.onsuccess = () => {
    const tx = q.result.transaction(["entries", "files"]), e = tx.objectStore("entries").count(), f = tx.objectStore("files").count();
    tx.oncomplete = () => { q.result.close(); done({ entries: e.result, files: f.result }); };
  };
}));

// picture is a photo: noise with a line, so that it cannot be made small.
export async function picture(page, side = 240) {
  const url = await page.evaluate(side => {
    const c = document.createElement("canvas"); c.width = c.height = side;
    const g = c.getContext("2d"), d = g.createImageData(side, side);
    for (let i = 0; i < d.data.length; i++) d.data[i] = i % 4 === 3 ? 255 : Math.random() * 256;
    g.putImageData(d, 0, 0); g.lineWidth = 9; g.moveTo(40, 200); g.lineTo(side - 40, 60); g.stroke();
    return c.toDataURL("image/jpeg", 0.95);
  }, side);
  return Buffer.from(url.split(",")[1], "base64");
}
