// From the camera to the disk, in this order: the bytes and their SHA-256, then ONE strict
// transaction with bytes, record and place in the queue. A picture is never refused on site.
import { sha256Hex } from "./net.js";
import { headOf } from "./picture_head.js";
import { isFull } from "../db.js";
import { Uploads } from "../uploads.js";

const AWAITING = ["awaiting"];
export const ACCEPTED = "image/jpeg,image/png,image/webp";
const MEDIA = ["image/jpeg", "image/png", "image/webp", "image/heic"];

// Written before the camera opens: the phone may close this app meanwhile.
export const awaitPicture = (app, what) => app.remember(AWAITING, { ...what, at: app.instant() });
export const noneAwaited = (app) => app.remember(AWAITING, null);
export const awaited = (app) => app.recall(AWAITING);

// Keeps one picture of a stop; resolves to its record's id.
export async function keepPicture(app, visit, file, { stop = null, about = null, use, taken = null }) {
  const bytes = await file.arrayBuffer();
  const sha256 = await sha256Hex(bytes);
  const head = headOf(bytes);
  const media = head.media ?? (MEDIA.includes(file.type) ? file.type : "image/jpeg");
  const photo = app.newId();
  const fields = {
    stop, about: about ?? stop, use: use ?? (about ? "shows_it" : "general_view"),
    sha256, size: bytes.byteLength, width: head.width, height: head.height, media,
    taken_at: taken ?? app.instant(), file_name: (file.name || "picture").slice(0, 200), camera: head.camera || null,
  };
  const also = [
    ...Uploads.rows(visit.id, visit.user, photo, bytes, sha256),
    ["things", AWAITING, null],
  ];
  await visit.make("photo", fields, also, photo);
  app.thumbs.ask(visit, photo);
  return photo;
}

// Several from the gallery, one after the other: never a batch in memory.
export async function keepPictures(app, visit, files, where) {
  const kept = [];
  for (const file of files) {
    let held = false;
    const made = await app.saving(() => keepPicture(app, visit, file, where).catch((error) => {
      held = isFull(error);
      if (held) app.room.hold(visit, file, where);
      throw error;
    }));
    if (made) kept.push(made);
    else if (!held) break;
  }
  return kept;
}

// What is tied to nothing yet: it shows a stop only.
export function untied(visit) {
  return visit.of("photo").filter(([, photo]) => photo.use !== "for_me" && (!photo.about || visit.rec(photo.about)?.kind === "stop"));
}

// Ties a picture to what it shows: then it is no general view any more.
export function tie(visit, photo, about) {
  const { use } = visit.rec(photo);
  return visit.set(photo, { about, use: use === "general_view" ? "shows_it" : use });
}
