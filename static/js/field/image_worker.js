// Makes a picture's small copy, and its working copy where the firm wants one. One file on
// its own: import maps do not reach workers. Memory is let go at once.

const SMALL = 320;
const LEAST_BYTES = 400; // a white or black failure of a small copy is smaller than this

self.onmessage = async ({ data }) => {
  try {
    self.postMessage(await made(data));
  } catch (error) {
    self.postMessage({ failed: error.message || "the picture could not be read" });
  }
};

async function made({ bytes, media, longEdge, quality }) {
  const blob = new Blob([bytes], { type: media });
  const whole = await createImageBitmap(blob, { imageOrientation: "from-image" });
  try {
    const thumb = await drawn(whole, SMALL, 0.75);
    if (thumb.bytes.byteLength < LEAST_BYTES) throw new Error("the picture came out empty");
    if (!longEdge || Math.max(whole.width, whole.height) <= longEdge) return { thumb: thumb.bytes };
    const copy = await drawn(whole, longEdge, quality);
    if (copy.bytes.byteLength < thumb.bytes.byteLength) return { thumb: thumb.bytes };
    return { thumb: thumb.bytes, copy: copy.bytes, width: copy.width, height: copy.height };
  } finally {
    whole.close();
  }
}

async function drawn(bitmap, longEdge, quality) {
  const scale = Math.min(1, longEdge / Math.max(bitmap.width, bitmap.height));
  const [width, height] = [Math.max(1, Math.round(bitmap.width * scale)), Math.max(1, Math.round(bitmap.height * scale))];
  const canvas = new OffscreenCanvas(width, height);
  canvas.getContext("2d").drawImage(bitmap, 0, 0, width, height);
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality });
  canvas.width = 0;
  return { bytes: await blob.arrayBuffer(), width, height };
}
