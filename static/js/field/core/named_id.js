// Ids made from a name (UUID version 5, RFC 9562): two phones that begin the same walk
// without a signal make the same stops, and the server the same once more.

export async function namedId(space, name) {
  const head = Uint8Array.from(space.replaceAll("-", "").match(/../g), (pair) => parseInt(pair, 16));
  const tail = new TextEncoder().encode(name);
  const all = new Uint8Array(head.length + tail.length);
  all.set(head);
  all.set(tail, head.length);
  const made = new Uint8Array(await crypto.subtle.digest("SHA-1", all)).slice(0, 16);
  made[6] = 0x50 | (made[6] & 0x0f);
  made[8] = 0x80 | (made[8] & 0x3f);
  const hex = [...made].map((one) => one.toString(16).padStart(2, "0")).join("");
  return [8, 12, 16, 20].reduceRight((text, at) => `${text.slice(0, at)}-${text.slice(at)}`, hex);
}
