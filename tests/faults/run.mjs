// Drives the phones by a seed until enough was entered, lets everything settle, reports.
import { readFileSync, writeFileSync } from "node:fs";
import { Phone } from "./device.mjs";

const [, , , plan, out] = process.argv;
const { seed, visit, user, base, cookie, phones, entries, photos, rate, bug, records } = JSON.parse(readFileSync(plan, "utf8"));

// mulberry32: small, even, and the same everywhere for a seed.
function chances(start) {
  let state = start >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

const counts = {};
const all = [];
for (let at = 0; at < phones; at += 1) {
  const phone = new Phone({
    name: `phone ${at + 1}`, visit, user, base, cookie, rate, counts, bug, records,
    chance: chances(seed * 1000 + at),
  });
  await phone.open();
  phone.killing = bug === "cursor-before-data" ? 0.2 : 0.02; // it takes a death between two writes
  all.push(phone);
}

const part = () => all.reduce((sum, phone) => sum + phone.saved.size, 0) / entries;
const told = new Set();

function tell(what) {
  if (!told.has(what)) process.stdout.write(`${JSON.stringify({ now: what })}\n`);
  told.add(what);
}

async function walk(phone, at) {
  const mine = Math.ceil(entries / phones);
  const pictures = Math.ceil(photos / phones);
  let lastSaid = Date.now();
  while (phone.saved.size < mine || phone.photos.size < pictures) {
    const draw = phone.chance();
    if (draw < 0.72) await phone.step(() => phone.enter());
    else if (draw < 0.8 && phone.photos.size < pictures) await phone.step(() => phone.shoot());
    else if (draw < 0.93) await phone.step(() => phone.syncAll());
    else if (draw < 0.97) await phone.step(() => phone.uploads.run());
    else if (draw < 0.98) await phone.twoTabs();
    else if (draw < 0.99) await phone.step(() => phone.open());
    // Only before the server's backup is taken: what only those two knew could come from nowhere.
    else if (draw < 0.995 && part() < 0.35) await phone.step(() => phone.restoredFromBackup());
    for (const [name, from] of [["backup", 0.4], ["restore", 0.7]]) if (part() >= from) tell(name);
    if (Date.now() - lastSaid > 10000) {
      lastSaid = Date.now();
      process.stdout.write(`${JSON.stringify({ at, saved: phone.saved.size, photos: phone.photos.size })}\n`);
    }
  }
}

await Promise.all(all.map(walk));
process.stdout.write(`${JSON.stringify({ settling: true })}\n`);
for (const phone of all) await phone.settle();
for (const phone of all) await phone.settle(); // the first once more, with the others' entries
writeFileSync(out, JSON.stringify({ counts, phones: all.map((phone) => phone.report()) }));
