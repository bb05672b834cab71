// Brings photos' bytes to the server by tus 1.0.0, piece by piece, and asks again where
// it stands after every break. Bytes leave the device only by a person's own act. Before them
// goes a small copy of each picture, so that the office sees everything soon.
import { Stopped } from "./sync.js";

const PIECE = 512 * 1024;
const ALL = "/api/sync/v1/photos/";
const MOST_PREVIEW = 64 * 1024;
const TUS = { "Tus-Resumable": "1.0.0" };

const inBase64 = (bytes) => btoa(String.fromCharCode(...new Uint8Array(bytes)));

// `http(method, path, {headers, bytes})` resolves to {status, header(name)}.
export class Uploads {
  constructor({ store, visit, user, http, digest, piece = PIECE }) {
    Object.assign(this, { store, visit, user, http, digest, piece });
  }

  // What a photo adds to a write's transaction: its bytes and its place in the queue.
  static rows(visit, user, photo, bytes, sha256) {
    const row = { photo, visit, user, sha256, size: bytes.byteLength, state: "waiting" };
    return [["bytes", [visit, photo], bytes], ["photos", [visit, photo], row]];
  }

  // What is to be sent: pictures first, then the originals that lie beside their copies.
  async waiting() {
    const rows = await this.store.tx(false, (tx) => tx.all("photos", [this.visit]));
    return rows.filter((row) => row.user === this.user && !["stored", "held"].includes(row.state))
      .sort((a, b) => Boolean(a.of) - Boolean(b.of));
  }

  async run() {
    for (const row of await this.waiting()) await this.send(row);
  }

  // Sends a picture's small copy; true once it needs no more. Only ever a help: whatever the
  // server says of it, the picture itself goes its own way.
  async preview(row) {
    if (row.of || row.preview) return true;
    const thumb = await this.store.tx(false, (tx) => tx.get("thumbs", [this.visit, row.photo]));
    if (!thumb || thumb.byteLength > MOST_PREVIEW) return true;
    const path = `/api/sync/v1/visits/${this.visit}/photos/${row.photo}/preview`;
    const { status } = await this.http("PUT", path, { bytes: thumb, headers: { "Content-Type": "image/jpeg" } });
    if (status === 401) throw new Stopped("signed out", { wait: false });
    const said = status === 204 ? "sent" : [400, 409, 413, 415].includes(status) && "not taken";
    if (said) await this.#mark(row, { preview: said });
    return Boolean(said);
  }

  async send(row) {
    const bytes = await this.store.tx(false, (tx) => tx.get("bytes", [this.visit, row.photo]));
    let offset = await this.#open(row);
    for (let wrong = 0; offset < row.size; ) {
      const piece = bytes.slice(offset, offset + this.piece);
      const answer = await this.http("PATCH", `${ALL}${row.photo}`, {
        bytes: piece,
        headers: {
          ...TUS, "Content-Type": "application/offset+octet-stream",
          "Upload-Offset": String(offset),
          "Upload-Checksum": `sha256 ${inBase64(await this.digest(piece))}`,
        },
      });
      if (answer.status === 204) offset = Number(answer.header("Upload-Offset"));
      else if (answer.status === 409 || answer.status === 460) {
        if ((wrong += 1) > 3) await this.#suspect(row, bytes);
        offset = await this.#ask(row);
      } else this.#refused(answer);
    }
    await this.#mark(row, { state: "stored" });
  }

  async #open(row) {
    let answer = await this.#announce(row);
    if (answer.status === 409) {
      // Begun with other bytes before: give that up. What is stored the server keeps.
      await this.http("DELETE", `${ALL}${row.photo}`, { headers: TUS });
      answer = await this.#announce(row);
    }
    if (answer.status !== 201) this.#refused(answer);
    return Number(answer.header("Upload-Offset"));
  }

  #announce(row) {
    const said = { photo: row.photo, visit: row.visit, sha256: row.sha256, ...(row.of ? { of: row.of } : {}) };
    const metadata = Object.entries(said).map(([key, text]) => `${key} ${btoa(text)}`).join(",");
    return this.http("POST", ALL, {
      headers: { ...TUS, "Upload-Length": String(row.size), "Upload-Metadata": metadata },
    });
  }

  async #ask(row) {
    const answer = await this.http("HEAD", `${ALL}${row.photo}`, { headers: TUS });
    if (answer.status !== 200) this.#refused(answer);
    return Number(answer.header("Upload-Offset"));
  }

  // Three pieces in a row were refused: is our own copy still what the camera gave?
  async #suspect(row, bytes) {
    const now = [...new Uint8Array(await this.digest(bytes))];
    const same = now.map((one) => one.toString(16).padStart(2, "0")).join("") === row.sha256;
    if (!same) await this.#mark(row, { state: "broken" });
    throw new Stopped(same ? "the server's copy is not ours" : "our copy is broken");
  }

  #refused({ status }) {
    if (status === 401) throw new Stopped("signed out", { wait: false });
    if (status === 403 || status === 404) throw new Stopped("not allowed", { wait: false });
    throw new Stopped("no good answer");
  }

  // Onto the row as it stands on disk: another tab may have written since.
  async #mark(row, change) {
    const key = [this.visit, row.photo];
    await this.store.tx(true, async (tx) => tx.put("photos", key, { ...((await tx.get("photos", key)) ?? row), ...change }));
  }

  // A server of another life may lack what it once stored: ask for every one again.
  async again() {
    await this.store.tx(true, async (tx) => {
      for (const row of await tx.all("photos", [this.visit])) {
        if (row.state === "stored" && !row.let_go) tx.put("photos", [this.visit, row.photo], { ...row, state: "waiting", preview: "" });
      }
    });
  }
}
