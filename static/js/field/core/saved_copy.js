// A saved copy of one visit on this phone: every entry of this person's and every picture's
// bytes, in one encrypted file that the office can bring in. The format, version 1:
//
//   bytes 0-3    "KPC1"
//   bytes 4-19   salt
//   bytes 20-23  rounds of PBKDF2-HMAC-SHA-256 (RFC 8018), big endian
//   bytes 24-35  nonce
//   bytes 36-    AES-256-GCM (NIST SP 800-38D) of a ZIP without compression, with bytes 0-35
//                as additional data; the last 16 bytes are its tag
//
// The ZIP holds copy.json {format, visit, user, device, client, made_at, entries: [{seq, id, rec,
// field, value, seen, schema, at}], photos: [{id, sha256, size, of?}]} and photos/<id>, the bytes;
// `of` names the photo whose original it is.
import { zipped } from "./zip.js";

const MAGIC = "KPC1";
export const ROUNDS = 600000;
const text = (words) => new TextEncoder().encode(words);

export async function copyOf(visit, store, { client, now }) {
  const rows = await store.tx(false, (tx) => tx.all("own", [visit.id]));
  const queued = await store.tx(false, (tx) => tx.all("photos", [visit.id]));
  const mine = rows.filter((row) => row.user === visit.user).sort((a, b) => a.seq - b.seq);
  const files = [];
  const photos = [];
  for (const row of queued.filter((one) => one.user === visit.user && one.state !== "held")) {
    const bytes = await store.tx(false, (tx) => tx.get("bytes", [visit.id, row.photo]));
    if (!bytes) continue;
    photos.push({ id: row.photo, sha256: row.sha256, size: row.size, ...(row.of ? { of: row.of } : {}) });
    files.push([`photos/${row.photo}`, new Uint8Array(bytes)]);
  }
  const told = {
    format: 1, visit: visit.id, user: visit.user, device: visit.outbox.meta.device, client, made_at: now,
    entries: mine.map((row) => ({ seq: row.seq, ...row.m })), photos,
  };
  return zipped([["copy.json", text(JSON.stringify(told))], ...files]);
}

// A Blob of the encrypted file.
export async function sealed(parts, passphrase, rounds = ROUNDS) {
  const head = new Uint8Array(36);
  head.set(text(MAGIC));
  head.set(crypto.getRandomValues(new Uint8Array(16)), 4);
  new DataView(head.buffer).setUint32(20, rounds);
  head.set(crypto.getRandomValues(new Uint8Array(12)), 24);
  const key = await keyOf(passphrase, head.slice(4, 20), rounds);
  const plain = await new Blob(parts).arrayBuffer();
  const secret = await crypto.subtle.encrypt({ name: "AES-GCM", iv: head.slice(24), additionalData: head }, key, plain);
  return new Blob([head, secret], { type: "application/octet-stream" });
}

async function keyOf(passphrase, salt, iterations) {
  const raw = await crypto.subtle.importKey("raw", text(passphrase.normalize("NFC")), "PBKDF2", false, ["deriveKey"]);
  return crypto.subtle.deriveKey({ name: "PBKDF2", hash: "SHA-256", salt, iterations }, raw, { name: "AES-GCM", length: 256 }, false, ["encrypt"]);
}
