// When to send: soon after a write, when a signal comes, when the page is looked at, while
// something waits, and on the button. Failures wait longer each time, and nothing is lost.
import { signal } from "./ui.js";
import { NoAnswer, ask, sha256, sha256Hex } from "./net.js";
import { letGo } from "./working_copy.js";
import { Stopped, Sync } from "../sync.js";
import { Uploads } from "../uploads.js";

const SOON = 2000;
const AGAIN = 30000;
const FIRST_WAIT = 1000;
const LONGEST_WAIT = 5 * 60 * 1000;

export class Syncer {
  // `open()` resolves to the OpenVisit of every visit on this phone with something of ours.
  constructor({ store, session, thumbs, version, newId, open, afterSync = () => {} }) {
    Object.assign(this, { store, session, thumbs, version, newId, open, afterSync });
    this.state = signal({ is: "idle", why: "" }); // idle, sending, waiting, stopped
    this.sealedAt = signal(null);
    this.photosLeft = signal(0);
    this.lastSent = signal(null);
    this.alarms = [];
    this.lacking = new Set(); // visits whose server was put back to an earlier copy
    this.failures = 0;
  }

  start() {
    addEventListener("online", () => this.soon(0));
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.soon(0);
    });
    this.soon(0);
  }

  soon(wait = SOON) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.run(), wait);
  }

  // The button: at once, and with the waiting begun anew.
  now() {
    this.failures = 0;
    return this.run();
  }

  async run() {
    if (this.running) return this.running;
    clearTimeout(this.timer);
    // The lock is thrift: two tabs that sync do no harm.
    const one = () => this.#once().finally(() => (this.running = null));
    this.running = navigator.locks ? navigator.locks.request("kingpost-sync", one) : one();
    return this.running;
  }

  async #once() {
    try {
      const token = await this.session.fresh();
      if (!token) return this.#stop(this.session.state.peek());
      this.csrf = token;
      this.state.value = { is: "sending", why: "" };
      const waits = await this.#everything(await this.open());
      this.failures = 0;
      this.lastSent.value = new Date();
      this.state.value = { is: "idle", why: "" };
      if (waits) this.soon(AGAIN);
    } catch (error) {
      this.#failed(error);
    }
    return null;
  }

  // Entries before pictures, for every visit; then what pictures need before they go. Returns
  // how many entries were made meanwhile.
  async #everything(visits) {
    const under = [];
    for (const visit of visits) under.push(await this.#entries(visit));
    for (const one of under) await this.#prepared(one);
    await this.#pictures(under);
    let waits = 0;
    for (const one of under) waits += await this.#proof(one);
    return waits;
  }

  async #entries(visit) {
    const sync = new Sync({
      outbox: visit.outbox, newId: this.newId, now: () => new Date().toISOString(), client: this.version,
      http: (method, path, body) => this.#json(method, path, body),
      alarm: (what, told) => {
        this.alarms.push({ what, ...told, at: new Date() });
        if (what === "restored") this.lacking.add(visit.id);
      },
    });
    await sync.run();
    const uploads = new Uploads({
      store: this.store, visit: visit.id, user: visit.user, http: (...all) => this.#bytes(...all), digest: sha256,
    });
    await this.afterSync(visit);
    return { visit, sync, uploads };
  }

  // A server of another life may lack pictures that it once had.
  async #againIfLacking({ visit, uploads }) {
    if (!this.lacking.has(visit.id)) return;
    await uploads.again();
    this.lacking.delete(visit.id);
  }

  // A working copy changes what its record says: that goes before the bytes.
  async #prepared({ visit, sync }) {
    await this.thumbs.prepare(visit);
    if (visit.outbox.waiting().length) await sync.run();
  }

  // Small copies of all pictures first, then the pictures, then originals.
  async #pictures(under) {
    const rows = [];
    for (const one of under) {
      await this.#againIfLacking(one);
      for (const row of await one.uploads.waiting()) rows.push([one.uploads, row]);
    }
    rows.sort(([, a], [, b]) => Boolean(a.of) - Boolean(b.of)); // originals after every copy
    try {
      this.photosLeft.value = rows.length;
      for (const [uploads, row] of rows) if (!(await uploads.preview(row))) break;
      for (const [at, [uploads, row]] of rows.entries()) {
        this.photosLeft.value = rows.length - at;
        // What was taken a moment ago has no working copy yet: it goes with the next round.
        if (row.prepared || this.thumbs.failed.has(row.photo)) await uploads.send(row);
      }
    } finally {
      this.photosLeft.value = 0;
    }
  }

  async #proof({ visit, sync, uploads }) {
    const seal = await sync.sealed(sha256Hex);
    await this.#againIfLacking({ visit, uploads });
    const left = (await uploads.waiting()).length;
    visit.seal = { ...seal, whole: seal.whole && !left, at: new Date() };
    this.sealedAt.value = visit.seal.whole ? visit.seal.at : null;
    await letGo(this.store, visit, seal.photos ?? []);
    if (visit.seal.whole && visit.seal.count) await this.#prove(visit, sync);
    return visit.outbox.waiting().length + left;
  }

  // Once for each state of the list; the office reads it at the visit.
  async #prove(visit, sync) {
    const told = `${visit.seal.digest} ${visit.seal.photos.length}`;
    if (visit.told !== told && (await sync.prove(visit.seal))) visit.told = told;
  }

  #json(method, path, body) {
    return this.#asked(method, path, { body });
  }

  #bytes(method, path, { headers, bytes }) {
    return this.#asked(method, path, { headers, bytes, limit: 120000 });
  }

  // A token that went stale on the way is fetched anew, once; nothing else is asked twice.
  async #asked(method, path, given) {
    const answer = await ask(method, path, { ...given, csrf: this.csrf });
    if (answer.status !== 403 || answer.json?.code !== "csrf") return answer;
    const token = await this.session.fresh();
    if (!token) return answer;
    this.csrf = token;
    return ask(method, path, { ...given, csrf: token });
  }

  #failed(error) {
    if (error instanceof NoAnswer) return this.#stop("no signal");
    if (!(error instanceof Stopped)) {
      this.#stop("went wrong");
      throw error;
    }
    if (error.why === "signed out") this.session.state.value = "out";
    return this.#stop(error.why, error.wait, error.said);
  }

  #stop(why, wait = why !== "out" && why !== "other person", said = "") {
    this.state.value = { is: wait ? "waiting" : "stopped", why, said };
    if (!wait) return;
    this.failures += 1;
    const longest = Math.min(LONGEST_WAIT, FIRST_WAIT * 2 ** this.failures);
    this.soon(Math.max(FIRST_WAIT, Math.random() * longest));
  }
}
