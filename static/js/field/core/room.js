// How much room this phone has left, looked at while we work and not only before it; what
// could not be written for want of room; and pictures that may be let go of.
import { signal } from "./ui.js";
import { keepPicture } from "./photos.js";

export const PHOTO = 5 * 1024 * 1024; // until a visit's own pictures say how large they are
const LEAST = 500 * 1024 ** 2;
const OF_A_VISIT = 140; // pictures that a visit usually needs
const STILL = 20; // and as many may always come
const EVERY = 60000;
const PATIENCE = 30 * 60000; // how long "later" holds

export class Room {
  constructor(app) {
    this.app = app;
    this.state = signal({ is: "enough" }); // enough, little, full; with {free, photos}
    this.unsaved = signal([]); // pictures that found no room, as long as this page lives
    this.later = signal({ at: 0, photos: 0 });
  }

  start() {
    const look = () => document.visibilityState === "visible" && this.look();
    setInterval(look, EVERY);
    document.addEventListener("visibilitychange", look);
    return this.look();
  }

  // Asks the browser. What a failed write has shown stands until a write succeeds.
  async look() {
    const { quota, usage = 0 } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
    if (quota === undefined) return this.state.peek();
    const free = Math.max(0, quota - usage);
    const { photos, needed } = this.#pictures(free);
    const is = this.state.peek().is === "full" ? "full" : free < LEAST || photos < needed ? "little" : "enough";
    this.state.value = { is, free, photos };
    return this.state.peek();
  }

  // How many pictures still fit, and how many the visit under way still needs.
  #pictures(free) {
    const open = [...this.app.opened.values()].filter((visit) => visit.stops().length && !visit.left);
    const sizes = open.flatMap((visit) => visit.of("photo").map(([, one]) => one.size ?? PHOTO));
    const usual = sizes.length ? sizes.reduce((sum, size) => sum + size, 0) / sizes.length : PHOTO;
    const needed = Math.max(STILL, ...open.map((visit) => OF_A_VISIT - visit.of("photo").length));
    return { photos: Math.floor(free / Math.max(usual, PHOTO / 10)), needed };
  }

  // A write found no room.
  full() {
    this.later.value = { at: 0, photos: 0 };
    this.state.value = { ...this.state.peek(), is: "full" };
    this.look();
  }

  // A write was saved: there is room again.
  saved() {
    if (this.state.peek().is !== "full") return;
    this.state.value = { ...this.state.peek(), is: "enough" };
    this.look();
  }

  // A picture from the camera that could not be written is held here, not dropped.
  hold(visit, file, where) {
    this.unsaved.value = [...this.unsaved.peek(), { visit, file, where: { ...where, taken: where.taken ?? this.app.instant() } }];
  }

  // Tries the held pictures once more, in their order; returns how many are saved now.
  async saveHeld() {
    let saved = 0;
    for (const one of this.unsaved.peek()) {
      if (!(await this.app.saving(() => keepPicture(this.app, one.visit, one.file, one.where)))) break;
      this.unsaved.value = this.unsaved.peek().filter((other) => other !== one);
      saved += 1;
    }
    return saved;
  }

  // "Later" holds for a while, or until half of that room is gone too.
  get quiet() {
    const { at, photos } = this.later.value;
    return this.app.tick.value - at < PATIENCE && this.state.value.photos * 2 > photos;
  }

  putOff() {
    this.later.value = { at: this.app.now().getTime(), photos: this.state.peek().photos };
  }

  // {rows, bytes} of a visit's pictures that the server's own list proves to have, with a
  // small copy here: only these may be let go of, and only by a person's hand.
  async spare(visit) {
    const proven = visit.seal?.whole ? new Map(visit.seal.photos.filter((one) => one.stored).map((one) => [one.id, one.sha256])) : new Map();
    const [rows, thumbs] = await this.app.store.tx(false, async (tx) => {
      const all = await tx.all("photos", [visit.id]);
      const small = await Promise.all(all.map((row) => tx.get("thumbs", [visit.id, row.photo])));
      return [all, small];
    });
    const ours = rows.filter((row, at) => row.state === "stored" && !row.let_go && row.user === visit.user && thumbs[at] && proven.get(row.photo) === row.sha256);
    return { rows: ours, bytes: ours.reduce((sum, row) => sum + row.size, 0) };
  }

  async letGo(visit) {
    const { rows } = await this.spare(visit);
    await this.app.store.tx(true, (tx) => {
      for (const row of rows) {
        tx.put("bytes", [visit.id, row.photo], null);
        tx.put("photos", [visit.id, row.photo], { ...row, let_go: this.app.instant() });
      }
    });
    this.saved();
    await this.look();
    return rows.length;
  }
}
