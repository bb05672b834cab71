// Makes a saved copy as the phone does, for the tests: node saved_copy.mjs FOLDER PLAN OUT
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, plan, out] = process.argv.slice(2);
const { copyOf, sealed } = await import(pathToFileURL(`${folder}/core/saved_copy.js`));
const { visit, user, device, entries, photos, words } = JSON.parse(readFileSync(plan, "utf8"));
const own = entries.map(({ seq, ...m }) => ({ visit, user, seq, state: "new", m }));
const queue = photos.map((one) => ({ photo: one.id, visit, user, sha256: one.sha256, size: one.size, state: "waiting" }));
const bytes = Object.fromEntries(photos.map((one) => [one.id, Uint8Array.from(Buffer.from(one.base64, "base64")).buffer]));
const tx = { all: (name) => (name === "own" ? own : queue), get: (_, [, id]) => bytes[id] };
const store = { tx: async (_, work) => work(tx) };
const open = { id: visit, user, outbox: { meta: { device } } };
const parts = await copyOf(open, store, { client: "test", now: "2026-11-24T15:00:00Z" });
const blob = await sealed(parts, words, 1000);
writeFileSync(out, Buffer.from(await blob.arrayBuffer()));
