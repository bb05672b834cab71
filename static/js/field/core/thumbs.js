// Small copies for the screen, and working copies by the firm's policy, made one at a time in
// a worker after the picture is on disk; a crash here costs nothing.
import { sha256Hex } from "./net.js";
import { signal } from "./ui.js";
import { asItIs, policyOf, putInPlace, readBack, rowOf, undecided } from "./working_copy.js";

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

  // Makes ready what waits to be sent. What cannot be read goes as the camera made it.
  async prepare(visit) {
    const rows = await this.store.tx(false, (tx) => tx.all("photos", [visit.id]));
    for (const row of rows) if (undecided(row, visit.user)) this.ask(visit, row.photo);
    await this.busy;
  }

  async #run() {
    while (this.queue.length) {
      const { visit, photo } = this.queue[0];
      // Two tabs over one disk: the second finds what the first has made.
      const one = () => this.#one(visit, photo);
      try {
        await (navigator.locks ? navigator.locks.request(`kingpost-picture-${photo}`, one) : one());
      } catch {
        this.failed.add(photo); // the picture itself is safe on disk
        await this.#given(visit, photo).catch(() => {});
      }
      this.queue.shift();
      this.made.value += 1;
    }
  }

  async #one(visit, photo) {
    const bytes = await this.store.tx(false, (tx) => tx.get("bytes", [visit.id, photo]));
    if (!bytes) return;
    const row = await rowOf(this.store, visit, photo);
    const open = undecided(row, visit.user);
    if (open && row.beside) return void (await readBack(this.store, visit, row)); // closed in between
    const sound = !open || (await sha256Hex(bytes)) === row.sha256;
    const { long_edge: longEdge, quality } = policyOf(visit);
    const { media, width, height } = visit.rec(photo) ?? {};
    const made = await this.#drawn({ bytes, media, width, height, longEdge: open && sound ? longEdge : 0, quality: quality / 100 });
    await this.store.tx(true, (tx) => tx.put("thumbs", [visit.id, photo], made.thumb));
    if (!open) return;
    const placed = made.copy ? await putInPlace(this.store, visit, row, made) : null;
    await (placed ? readBack(this.store, visit, placed) : asItIs(this.store, visit, row));
  }

  // It is sent as the camera gave it.
  async #given(visit, photo) {
    const row = await rowOf(this.store, visit, photo);
    if (!undecided(row, visit.user)) return;
    await (row.beside ? readBack(this.store, visit, row) : asItIs(this.store, visit, row));
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
