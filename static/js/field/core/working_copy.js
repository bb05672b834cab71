// The working copy takes a picture's place before anything of it is sent. The picture as the
// camera made it lies beside it: to be sent later where the firm keeps originals, else until
// the server's own list shows the copy. Nothing is let go on the word of one write.
import { sha256Hex } from "./net.js";
import { headOf } from "./picture_head.js";

const USUAL = { originals: false, long_edge: 2560, quality: 82 }; // of a book older than the policy
export const policyOf = (visit) => visit.book.photo_policy ?? USUAL;

// Whether it still has to be decided what of this picture is sent.
export const undecided = (row, user) => row?.state === "waiting" && !row.of && !row.prepared && row.user === user;

const bytesOf = (store, visit, id) => store.tx(false, (tx) => tx.get("bytes", [visit.id, id]));

export const rowOf = (store, visit, id) => store.tx(false, (tx) => tx.get("photos", [visit.id, id]));

export function asItIs(store, visit, row) {
  return store.tx(true, (tx) => tx.put("photos", [visit.id, row.photo], { ...row, prepared: true }));
}

// Puts the copy in the picture's place: record, bytes and queue in one transaction. Null
// where the record has been taken out meanwhile: to write to it would bring it back.
export async function putInPlace(store, visit, row, { copy, width, height }) {
  const { originals } = policyOf(visit);
  const beside = visit.newId();
  const sha256 = await sha256Hex(copy);
  const whole = await bytesOf(store, visit, row.photo);
  const kept = {
    photo: beside, of: row.photo, visit: visit.id, user: row.user, sha256: row.sha256, size: row.size,
    state: originals ? "waiting" : "held", prepared: true,
  };
  const placed = { ...row, sha256, size: copy.byteLength, beside };
  if (!visit.rec(row.photo)) return null;
  await visit.set(row.photo, {
    sha256, size: copy.byteLength, width, height, media: "image/jpeg",
    original_sha256: row.sha256, original: originals ? beside : null,
  }, [
    ["bytes", [visit.id, beside], whole], ["photos", [visit.id, beside], kept],
    ["bytes", [visit.id, row.photo], copy], ["photos", [visit.id, row.photo], placed],
  ]);
  return placed;
}

// Reads the copy back from the disk; the picture returns to its place where it is not the same.
export async function readBack(store, visit, row) {
  const again = await bytesOf(store, visit, row.photo);
  if (again && (await sha256Hex(again)) === row.sha256) return asItIs(store, visit, row);
  const [whole, kept] = [await bytesOf(store, visit, row.beside), await rowOf(store, visit, row.beside)];
  const { beside, ...plain } = row;
  const head = headOf(whole);
  const { sha256, size } = kept;
  await visit.set(row.photo, {
    sha256, size, width: head.width, height: head.height, media: head.media ?? "image/jpeg",
    original_sha256: null, original: null,
  }, [
    ["bytes", [visit.id, row.photo], whole],
    ["photos", [visit.id, row.photo], { ...plain, sha256, size, prepared: true }],
  ]);
  return forget(store, visit, beside);
}

// Lets go of the originals that are only held, once the server's own list shows their copies.
export async function letGo(store, visit, listed) {
  const rows = await store.tx(false, (tx) => tx.all("photos", [visit.id]));
  const byId = new Map(rows.map((row) => [row.photo, row]));
  const stored = new Map(listed.filter((one) => one.stored).map((one) => [one.id, one.sha256]));
  for (const row of rows) {
    const copy = byId.get(row.of);
    if (row.state === "held" && copy && stored.get(row.of) === copy.sha256) await forget(store, visit, row.photo);
  }
}

const forget = (store, visit, id) => store.tx(true, (tx) => Promise.all([
  tx.clear("bytes", [visit.id, id]), tx.clear("photos", [visit.id, id]),
]));
