// Money and signatures as the door's screens say them. Money is whole cents.
const dollars = new Intl.NumberFormat("en-US", { style: "currency", currency: "USD" });

export const money = (cents) => (cents === null || cents === undefined ? "not set" : dollars.format(cents / 100));

// Cents from "425", "425.50" or "$1,200"; null where it cannot be read.
export function centsOf(text) {
  const bare = text.trim().replace(/^\$/, "").replace(/,(?=\d{3}\b)/g, "");
  const found = /^(-?)(\d{1,7})(?:\.(\d{1,2}))?$/.exec(bare);
  if (!found) return null;
  const cents = Number(found[2]) * 100 + Number((found[3] ?? "").padEnd(2, "0"));
  return found[1] ? -cents : cents;
}

// {at, here} where a client has signed: by their own link, or on this phone.
export function signedBy(visit, client) {
  const here = visit.of("signature", { client: client.id }).at(-1)?.[1];
  if (here?.signed_at) return { at: here.signed_at, here: true };
  return client.signed_at ? { at: client.signed_at, here: false } : null;
}
