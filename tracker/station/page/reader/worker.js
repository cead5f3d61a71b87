// The worker that reads photographs. Go, above, is from Go's own wasm_exec.js; the
// module that it runs is labels/photo/inpage. One picture at a time: whoever asks
// waits for the answer.
"use strict";

let go = null; // the module that runs; it has put readLabels beside us

// start runs the module and says so.
async function start(module) {
  go = new Go();
  const instance = await WebAssembly.instantiate(module, go.importObject);
  go.run(instance);
  postMessage({ started: true });
}

// pixelsOf draws a picture upright, no larger than so many pixels, on white.
function pixelsOf(bitmap, width, height, most) {
  const scale = Math.min(1, Math.sqrt(most / (width * height)));
  const w = Math.max(1, Math.round(width * scale)), h = Math.max(1, Math.round(height * scale));
  const pen = new OffscreenCanvas(w, h).getContext("2d", { alpha: false, willReadFrequently: true });
  pen.fillStyle = "white";
  pen.fillRect(0, 0, w, h);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(bitmap, 0, 0, w, h);
  return pen.getImageData(0, 0, w, h);
}

// opened is a picture that can be drawn: a file, turned as its camera was held, or
// a frame as it comes.
const opened = picture =>
  picture instanceof Blob ? createImageBitmap(picture, { imageOrientation: "from-image" }) : picture;

// foundIn reads a picture drawn down to so many pixels; corners are in those of the
// whole picture.
function foundIn(bitmap, width, height, most, list, quick) {
  const image = pixelsOf(bitmap, width, height, most);
  const { found, error } = JSON.parse(readLabels(image.data, image.width, image.height, list, quick));
  if (error) throw new Error(error);
  const across = width / image.width, down = height / image.height;
  for (const f of found) f.corners = f.corners.map(([x, y]) => [x * across, y * down]);
  return found;
}

// read looks at a picture in one size after the other until it shows something.
async function read({ picture, sizes, list, quick }) {
  const bitmap = await opened(picture);
  const width = bitmap.displayWidth ?? bitmap.width, height = bitmap.displayHeight ?? bitmap.height;
  let found = [];
  try {
    for (const [i, most] of sizes.entries()) {
      if (found.length || i > 0 && sizes[i - 1] >= width * height) break;
      found = foundIn(bitmap, width, height, most, i ? null : list, quick);
    }
  } finally {
    bitmap.close();
  }
  return { found, width, height };
}

// broken reports whether the module has ended, as it does when memory is short:
// then only another worker can go on.
const broken = () => !go || go.exited;

addEventListener("message", async ({ data }) => {
  try {
    if (data.module) return await start(data.module);
    const answer = await read(data);
    postMessage({ answer, memory: go.mem.buffer.byteLength });
  } catch (wrong) {
    postMessage({ wrong: String(wrong), broken: broken() });
  }
});
