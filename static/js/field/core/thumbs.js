// Small copies for the screen, made one at a time in a worker after the picture is on disk;
// a crash here costs nothing. The firm's policy may ask for a smaller working copy to send.
import { sha256Hex } from "./net.js";
import { signal } from "./ui.js";

const WORKER = "/static/js/field/image_worker.js";
const LIMIT = 20000;

export class Thumbs {
  constructor(store) {
    this.store = store;
    this.made = signal(0);
    this.queue = [];
    this.urls = new Map();
    this.failed = new Set();
  }

  // A blob address of a picture's small copy, or null; asks for it where there is none.
  async url(visit, photo) {
    if (this.urls.has(photo)) return this.urls.get(photo);
    const held = await this.store.tx(false, (tx) => tx.get("thumbs", [visit.id, photo]));
    if (!held) {
      this.ask(visit, photo);
      return null;
    }
    const url = URL.createObjectURL(new Blob([held], { type: "image/jpeg" }));
    this.urls.set(photo, url);
    return url;
  }

  // The picture itself, for marking and looking closely; the caller lets it go.
  async whole(visit, photo) {
    // Of a picture that was sent and let go of, the small copy is here.
    const [bytes, small] = await this.store.tx(false, async (tx) => [
      await tx.get("bytes", [visit.id, photo]), await tx.get("thumbs", [visit.id, photo]),
    ]);
    if (!bytes && small) return URL.createObjectURL(new Blob([small], { type: "image/jpeg" }));
    return bytes ? URL.createObjectURL(new Blob([bytes], { type: visit.rec(photo)?.media })) : null;
  }

  ask(visit, photo) {
    if (this.failed.has(photo) || this.queue.some((one) => one.photo === photo)) return;
    this.queue.push({ visit, photo });
    if (!this.busy) this.busy = this.#run().finally(() => (this.busy = null));
  }

  async #run() {
    while (this.queue.length) {
      const { visit, photo } = this.queue[0];
      try {
        await this.#one(visit, photo);
      } catch {
        this.failed.add(photo); // the picture itself is safe on disk
      }
      this.queue.shift();
      this.made.value += 1;
    }
  }

  async #one(visit, photo) {
    const bytes = await this.store.tx(false, (tx) => tx.get("bytes", [visit.id, photo]));
    if (!bytes) return;
    const { originals = true, long_edge: longEdge = 2560, quality = 82 } = visit.book.photo_policy ?? {};
    const made = await this.#drawn({ bytes, media: visit.rec(photo)?.media, longEdge: originals ? 0 : longEdge, quality: quality / 100 });
    await this.store.tx(true, (tx) => tx.put("thumbs", [visit.id, photo], made.thumb));
    if (made.copy) await this.#smaller(visit, photo, made);
  }

  // The working copy takes the picture's place only while nothing of it has been sent.
  async #smaller(visit, photo, { copy, width, height }) {
    const row = await this.store.tx(false, (tx) => tx.get("photos", [visit.id, photo]));
    if (row?.state !== "waiting" || copy.byteLength >= row.size) return;
    const sha256 = await sha256Hex(copy);
    await visit.set(photo, { sha256, size: copy.byteLength, width, height, media: "image/jpeg" }, [
      ["bytes", [visit.id, photo], copy],
      ["photos", [visit.id, photo], { ...row, sha256, size: copy.byteLength }],
    ]);
  }

  #drawn(asked) {
    this.worker ??= new Worker(WORKER);
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => {
        this.worker.terminate();
        this.worker = null;
        reject(new Error("the picture took too long"));
      }, LIMIT);
      this.worker.onmessage = ({ data }) => {
        clearTimeout(timer);
        if (data.failed) reject(new Error(data.failed));
        else resolve(data);
      };
      this.worker.onerror = (event) => {
        clearTimeout(timer);
        reject(new Error(event.message));
      };
      this.worker.postMessage(asked);
    });
  }
}
