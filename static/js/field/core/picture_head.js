// What a picture's first bytes say: its form, its upright size, and when and with what it was
// taken (EXIF 2.32, tags 0x0112, 0x0110, 0x0132 and 0x9003). Never decodes the picture.

const ASCII = (view, at, length) => String.fromCharCode(...new Uint8Array(view.buffer, view.byteOffset + at, length));

// {media, width, height, taken, camera}; media is null for what no picture begins with.
export function headOf(bytes) {
  const view = new DataView(bytes);
  try {
    if (view.getUint16(0) === 0xffd8) return jpeg(view);
    if (view.getUint32(0) === 0x89504e47) return { media: "image/png", width: view.getUint32(16), height: view.getUint32(20) };
    if (ASCII(view, 0, 4) === "RIFF" && ASCII(view, 8, 4) === "WEBP") return { media: "image/webp" };
    if (ASCII(view, 4, 4) === "ftyp" && /hei[cxm]|mif1|msf1/.test(ASCII(view, 8, 4))) return { media: "image/heic" };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
  return { media: null };
}

function jpeg(view) {
  const found = { media: "image/jpeg" };
  let turned = false;
  for (let at = 2; at + 4 < view.byteLength; ) {
    const marker = view.getUint16(at);
    const length = view.getUint16(at + 2);
    if ((marker & 0xff00) !== 0xff00 || marker === 0xffda) break;
    if (marker === 0xffe1 && ASCII(view, at + 4, 4) === "Exif") {
      const said = exif(view, at + 10);
      turned = said.orientation >= 5;
      Object.assign(found, { taken: said.taken, camera: said.camera });
    }
    // Every start of frame but the tables between them holds the size.
    if (marker >= 0xffc0 && marker <= 0xffcf && ![0xffc4, 0xffc8, 0xffcc].includes(marker)) {
      const [height, width] = [view.getUint16(at + 5), view.getUint16(at + 7)];
      return { ...found, width: turned ? height : width, height: turned ? width : height };
    }
    at += 2 + length;
  }
  return found;
}

function exif(view, base) {
  const little = view.getUint16(base) === 0x4949;
  const short = (at) => view.getUint16(at, little);
  const long = (at) => view.getUint32(at, little);
  const said = {};
  const text = (at) => {
    const length = long(at + 4);
    return ASCII(view, length > 4 ? base + long(at + 8) : at + 8, Math.min(length, 64)).split("\0")[0].trim();
  };
  const folder = (start) => {
    for (let n = 0; n < short(start); n += 1) {
      const at = start + 2 + n * 12;
      const tag = short(at);
      if (tag === 0x0112) said.orientation = short(at + 8);
      else if (tag === 0x010f) said.maker = text(at);
      else if (tag === 0x0110) said.model = text(at);
      else if (tag === 0x0132) said.changed = text(at);
      else if (tag === 0x9003) said.taken = text(at);
      else if (tag === 0x8769) folder(base + long(at + 8));
    }
  };
  folder(base + long(base + 4));
  const camera = [said.maker, said.model].filter(Boolean).join(" ").slice(0, 80);
  return { orientation: said.orientation ?? 1, taken: said.taken ?? said.changed, camera };
}

// "2026:11:24 09:12:05" by a clock that says nothing of its zone: read by this phone's zone.
export function takenAt(text) {
  const found = /^(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)/.exec(text ?? "");
  if (!found) return null;
  const [, year, month, day, hour, minute, second] = found.map(Number);
  const at = new Date(year, month - 1, day, hour, minute, second);
  return Number.isNaN(at.getTime()) ? null : at;
}
