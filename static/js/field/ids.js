// Ids made on the device: UUID version 7 (RFC 9562). Their order never decides anything.

export function newId(now = Date.now(), random = crypto.getRandomValues(new Uint8Array(10))) {
  const bytes = new Uint8Array(16);
  let time = BigInt(now);
  for (let at = 5; at >= 0; at -= 1, time >>= 8n) bytes[at] = Number(time & 255n);
  bytes.set(random, 6);
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [8, 12, 16, 20].reduceRight((text, at) => `${text.slice(0, at)}-${text.slice(at)}`, hex);
}
