// When to send: soon after a write, when a signal comes, when the page is looked at, while
// something waits, and on the button. Failures wait longer each time, and nothing is lost.
import { signal } from "./ui.js";
import { NoAnswer, ask, sha256, sha256Hex } from "./net.js";
import { Stopped, Sync } from "../sync.js";
import { Uploads } from "../uploads.js";

const SOON = 2000;
const AGAIN = 30000;
const FIRST_WAIT = 1000;
const LONGEST_WAIT = 5 * 60 * 1000;

export class Syncer {
  // `open()` resolves to the OpenVisit of every visit on this phone with something of ours.
  constructor({ store, session, version, newId, open, afterSync = () => {} }) {
    Object.assign(this, { store, session, version, newId, open, afterSync });
    this.state = signal({ is: "idle", why: "" }); // idle, sending, waiting, stopped
    this.sealedAt = signal(null);
    this.photosLeft = signal(0);
    this.lastSent = signal(null);
    this.alarms = [];
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
      let waits = 0;
      for (const visit of await this.open()) waits += await this.#visit(visit);
      this.failures = 0;
      this.lastSent.value = new Date();
      this.state.value = { is: "idle", why: "" };
      if (waits) this.soon(AGAIN);
    } catch (error) {
      this.#failed(error);
    }
    return null;
  }

  async #visit(visit) {
    const { outbox } = visit;
    const common = { store: this.store, visit: visit.id, user: visit.user };
    let restored = false;
    const sync = new Sync({
      outbox, newId: this.newId, now: () => new Date().toISOString(), client: this.version,
      http: (method, path, body) => this.#json(method, path, body),
      alarm: (what, told) => {
        this.alarms.push({ what, ...told, at: new Date() });
        restored ||= what === "restored";
      },
    });
    await sync.run();
    const uploads = new Uploads({ ...common, http: (...all) => this.#bytes(...all), digest: sha256 });
    if (restored) await uploads.again();
    for (const row of await uploads.waiting()) {
      this.photosLeft.value = (await uploads.waiting()).length;
      await uploads.send(row);
    }
    this.photosLeft.value = 0;
    const seal = await sync.sealed(sha256Hex);
    visit.seal = { ...seal, at: new Date() };
    this.sealedAt.value = seal.whole ? visit.seal.at : null;
    await this.afterSync(visit);
    return outbox.waiting().length;
  }

  async #json(method, path, body) {
    const answer = await ask(method, path, { body, csrf: this.csrf });
    if (answer.status === 403 && answer.json?.code === "csrf") {
      this.csrf = await this.session.fresh();
      return ask(method, path, { body, csrf: this.csrf });
    }
    return answer;
  }

  #bytes(method, path, { headers, bytes }) {
    return ask(method, path, { headers, bytes, csrf: this.csrf, limit: 120000 });
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
