// A ZIP file without compression (PKWARE APPNOTE 6.3.3, method 0), for the saved copy. Names
// are plain; sizes below 4 GiB.

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

export function crc32(bytes) {
  let c = 0xffffffff;
  for (const byte of bytes) c = TABLE[(c ^ byte) & 255] ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

// [[name, Uint8Array], …] to one Blob part list; the bytes are not copied.
export function zipped(files) {
  const parts = [];
  const folder = [];
  let offset = 0;
  for (const [name, bytes] of files) {
    const called = new TextEncoder().encode(name);
    const common = [[2, 20], [2, 0x0800], [2, 0], [2, 0], [2, 0x21], [4, crc32(bytes)], [4, bytes.length], [4, bytes.length], [2, called.length], [2, 0]];
    const head = packed([[4, 0x04034b50], ...common]);
    folder.push([packed([[4, 0x02014b50], [2, 20], ...common, [2, 0], [2, 0], [2, 0], [4, 0], [4, offset]]), called]);
    parts.push(head, called, bytes);
    offset += head.length + called.length + bytes.length;
  }
  const size = folder.reduce((sum, [head, called]) => sum + head.length + called.length, 0);
  const end = packed([[4, 0x06054b50], [2, 0], [2, 0], [2, files.length], [2, files.length], [4, size], [4, offset], [2, 0]]);
  return [...parts, ...folder.flat(), end];
}

function packed(fields) {
  const made = new DataView(new ArrayBuffer(fields.reduce((sum, [size]) => sum + size, 0)));
  let at = 0;
  for (const [size, value] of fields) {
    if (size === 2) made.setUint16(at, value, true);
    else made.setUint32(at, value, true);
    at += size;
  }
  return new Uint8Array(made.buffer);
}
