// Makes a picture's small copy, and its working copy where one is asked for. One file on its
// own: import maps do not reach workers. Some phones draw a large picture black or white without
// an error: each copy is decoded again and held against a second, tiny reading of the picture.

const SMALL = 320;
const CELLS = 16; // a side of what is compared
const FAR = 16; // the most that grey values may differ on average, of 255
const FLAT = 1; // the spread of a picture of one colour
const HEAVY = 0.05; // bytes a pixel that no picture of one colour takes

self.onmessage = async ({ data }) => {
  try {
    self.postMessage(await made(data));
  } catch (error) {
    self.postMessage({ failed: error.message || "the picture could not be read" });
  }
};

// `width` and `height` are the upright size that the picture's head tells, where it does.
async function made({ bytes, media, width, height, longEdge, quality }) {
  const blob = new Blob([bytes], { type: media });
  const look = await tiny(blob);
  const whole = await createImageBitmap(blob, { imageOrientation: "from-image" });
  try {
    if (spread(look) < FLAT && bytes.byteLength > HEAVY * whole.width * whole.height) throw new Error("the picture came out empty");
    const thumb = await drawn(whole, SMALL, 0.75);
    if (!(await same(thumb, look))) throw new Error("the picture's small copy is not like it");
    const asTold = !width || !height || (width === whole.width && height === whole.height);
    if (!longEdge || !asTold || Math.max(whole.width, whole.height) <= longEdge) return { thumb: thumb.bytes };
    const copy = await drawn(whole, longEdge, quality);
    if (copy.bytes.byteLength >= bytes.byteLength || !(await same(copy, look))) return { thumb: thumb.bytes };
    return { thumb: thumb.bytes, copy: copy.bytes, width: copy.width, height: copy.height };
  } finally {
    whole.close();
  }
}

async function drawn(bitmap, longEdge, quality) {
  const scale = Math.min(1, longEdge / Math.max(bitmap.width, bitmap.height));
  const [width, height] = [Math.max(1, Math.round(bitmap.width * scale)), Math.max(1, Math.round(bitmap.height * scale))];
  const canvas = new OffscreenCanvas(width, height);
  const pen = canvas.getContext("2d");
  pen.imageSmoothingQuality = "high";
  pen.fillStyle = "#fff"; // a JPEG has no holes: what is clear becomes paper
  pen.fillRect(0, 0, width, height);
  pen.drawImage(bitmap, 0, 0, width, height);
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality });
  canvas.width = 0;
  return { blob, bytes: await blob.arrayBuffer(), width, height };
}

// Decodes a copy once more: is it as large as it was drawn, and does it look like the picture?
async function same(copy, look) {
  const again = await createImageBitmap(copy.blob);
  const sized = again.width === copy.width && again.height === copy.height;
  again.close();
  const seen = await tiny(copy.blob);
  const far = seen.reduce((sum, value, at) => sum + Math.abs(value - look[at]), 0) / seen.length;
  const [mine, its] = [spread(seen), spread(look)];
  return sized && far <= FAR && Math.abs(mine - its) <= Math.max(8, its / 3);
}

// Grey values of the picture in a few cells, over white.
async function tiny(blob) {
  const bitmap = await createImageBitmap(blob, {
    imageOrientation: "from-image", resizeWidth: CELLS, resizeHeight: CELLS, resizeQuality: "high",
  });
  const canvas = new OffscreenCanvas(CELLS, CELLS);
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, CELLS, CELLS);
  pen.drawImage(bitmap, 0, 0, CELLS, CELLS);
  bitmap.close();
  const { data } = pen.getImageData(0, 0, CELLS, CELLS);
  canvas.width = 0;
  return Array.from({ length: CELLS * CELLS }, (_, at) => 0.3 * data[at * 4] + 0.59 * data[at * 4 + 1] + 0.11 * data[at * 4 + 2]);
}

function spread(values) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}
