// One phone: the product's own outbox, sync and uploads over a disk and a network that fail.
import { createHash, webcrypto } from "node:crypto";
import { pathToFileURL } from "node:url";
import { Broken, Network } from "./network.mjs";
import { Killed, Store } from "./store.mjs";

const [, , clientFolder] = process.argv;
const load = (name) => import(pathToFileURL(`${clientFolder}/${name}.js`));
const { Outbox } = await load("outbox");
const { Stopped, Sync } = await load("sync");
const { Uploads } = await load("uploads");
const { newId } = await load("ids");

const FIELDS = { stop: ["name", "pos", "method_reason", "_gone"], note: ["about", "text"] };

export class Phone {
  constructor({ name, visit, user, base, cookie, chance, rate, counts, bug, records }) {
    Object.assign(this, { name, visit, user, chance, bug, counts, records });
    this.store = new Store();
    this.network = new Network({ base, cookie, chance, rate, counts });
    this.saved = new Map(); // what the screen said was saved: id -> entry as last saved
    this.tried = []; // every value in the order it was entered
    this.photos = new Map(); // photo -> digest of the bytes that were saved
    this.alarms = {};
    this.deaths = 0;
    this.store.dies = (when) => this.#dies(when);
    this.killing = 0;
  }

  #dies(when) {
    if (this.killing <= 0 || this.chance() > this.killing / 2) return false;
    this.deaths += 1;
    this.counts[`killed_${when}_commit`] = (this.counts[`killed_${when}_commit`] ?? 0) + 1;
    return true;
  }

  now = () => new Date(Math.floor(this.chance() * 4e12)).toISOString(); // any clock will do

  // What starts when the app is opened: everything in memory is new.
  async open() {
    const common = { store: this.store, visit: this.visit, user: this.user };
    this.outbox = await new Outbox({ ...common, newId, now: this.now, schema: 1 }).open();
    this.sync = new (planted(this.bug))({
      outbox: this.outbox, http: this.network.json, newId, now: this.now, client: "harness",
      alarm: (what) => this.#alarmed(what),
    });
    this.uploads = new Uploads({
      ...common, http: this.network.bytes, piece: 64 * 1024,
      digest: (bytes) => webcrypto.subtle.digest("SHA-256", bytes),
    });
  }

  async reopen() {
    for (;;) {
      try {
        return await this.open();
      } catch (error) {
        if (!(error instanceof Killed)) throw error;
      }
    }
  }

  #alarmed(what) {
    this.alarms[what] = (this.alarms[what] ?? 0) + 1;
    if (what === "restored") this.askAgain = true;
  }

  async syncAll() {
    await this.sync.run();
    if (this.askAgain) await this.uploads.again();
    this.askAgain = false;
  }

  // All of it is on the server: from here the phone may go back to an older copy of itself.
  async whole() {
    const waits = this.outbox.waiting().length + (await this.uploads.waiting()).length;
    return !waits && this.#allConfirmed();
  }

  async restoredFromBackup() {
    if (!(await this.whole())) return;
    if (!this.copy) {
      this.copy = this.store.copy();
      return;
    }
    this.store.disk = new Map(this.copy);
    this.counts.phone_restored = (this.counts.phone_restored ?? 0) + 1;
    await this.reopen();
  }

  // Every step may end in death; then the app is opened once more over the same disk.
  async step(work) {
    try {
      return await work();
    } catch (error) {
      if (error instanceof Killed) return this.reopen();
      if (error instanceof Broken || error instanceof Stopped) return null;
      throw error;
    }
  }

  async enter() {
    const at = Math.floor(this.chance() * this.records.length);
    const [rec, kind] = [this.records[at], at % 2 ? "note" : "stop"];
    const drawn = FIELDS[kind][Math.floor(this.chance() * FIELDS[kind].length)];
    const text = `${this.name} ${Math.floor(this.chance() * 1e9)} é\u{1F3E0}`;
    if (!this.outbox.headsOf(rec, "kind").length) await this.#saved(kind, () => this.outbox.write(rec, "kind", kind));
    const gone = this.chance() < 0.3;
    if (drawn === "_gone") return this.#saved(gone, () => this.outbox.write(rec, "_gone", gone));
    // Now and then a client of another day names a field that this server does not know.
    const field = this.chance() < 0.01 ? "no_such_field" : drawn;
    return this.#saved(text, () => this.outbox.write(rec, field, text));
  }

  async #saved(value, write) {
    this.tried.push(value); // whatever happens to it, it may be on disk
    const entry = await write();
    if (entry) this.saved.set(entry.id, structuredClone(entry));
    return entry;
  }

  async shoot() {
    const photo = newId();
    const size = 20_000 + Math.floor(this.chance() * 300_000);
    const bytes = jpegLike(size, this.chance);
    const sha256 = createHash("sha256").update(Buffer.from(bytes)).digest("hex");
    const entries = await this.outbox.change(
      photo,
      { kind: "photo", sha256, size, use: "general_view" },
      Uploads.rows(this.visit, this.user, photo, bytes, sha256),
    );
    for (const entry of entries) this.saved.set(entry.id, structuredClone(entry));
    this.photos.set(photo, sha256);
  }

  // Two tabs over one disk, both sending: a lock is thrift, not safety.
  async twoTabs() {
    const other = new Phone({ ...this, base: this.network.base, cookie: this.network.cookie, rate: this.network.rate });
    other.store = this.store;
    await other.reopen();
    this.counts.two_tabs = (this.counts.two_tabs ?? 0) + 1;
    await Promise.allSettled([this.sync.run(), other.sync.run()]);
    await this.reopen();
  }

  async settle() {
    this.killing = 0;
    this.network.on = false;
    for (let round = 0; round < 60; round += 1) {
      this.network.csrf = "";
      await this.open();
      await this.step(() => this.syncAll());
      await this.step(() => this.uploads.run());
      const waiting = (await this.uploads.waiting()).length;
      if (!this.outbox.waiting().length && !waiting && this.#allConfirmed()) break;
      await new Promise((done) => setTimeout(done, 100));
    }
    await this.open();
    await this.step(() => this.sync.pull());
  }

  #allConfirmed() {
    return [...this.outbox.own.values()].every((row) => row.state === "confirmed" || row.said === "reused");
  }

  report() {
    const folded = this.outbox.fold();
    return {
      name: this.name, saved: [...this.saved.values()], tried: this.tried,
      own: [...this.outbox.own.values()].map((row) => row.m), photos: [...this.photos],
      fold: folded, alarms: this.alarms, deaths: this.deaths,
      unconfirmed: [...this.outbox.own.values()].filter((row) => row.state !== "confirmed").length,
    };
  }
}

// The mistakes that the protocol is there to rule out, one at a time.
function planted(bug) {
  if (bug === "any-200-is-an-ack") {
    return class extends Sync {
      async push() {
        const rows = await this.outbox.offer(this.outbox.waiting().slice(0, 100));
        if (!rows.length) return;
        const { status } = await this.http("POST", `${this.base}/push`, {
          req: this.newId(), device: this.outbox.meta.device, client: "x", now: this.now(),
          mutations: rows.map((row) => ({ seq: row.seq, ...row.m })),
        });
        if (status === 200) await this.outbox.keep(() => ({ rows: rows.map((r) => ({ ...r, state: "confirmed" })) }));
      }
    };
  }
  if (bug === "cursor-before-data") {
    return class extends Sync {
      async pull() {
        const page = await this.http("GET", `${this.base}/changes?after=${this.outbox.meta.cursor}&limit=500`);
        if (page.json?.sync !== 1) throw new Stopped("no good answer");
        await this.outbox.keep(() => ({ meta: { cursor: page.json.changes.at(-1)?.v ?? this.outbox.meta.cursor } }));
        const rows = page.json.changes.map((e) => this.outbox.own.get(e.id)).filter(Boolean);
        await this.outbox.keep(() => ({ entries: page.json.changes, rows: rows.map((r) => ({ ...r, state: "confirmed" })) }));
      }
    };
  }
  if (bug === "refused-is-removed") {
    return class extends Sync {
      async push() {
        const own = this.outbox.own;
        await super.push();
        for (const [id, row] of own) {
          if (row.said === "quarantined") {
            own.delete(id);
            await this.outbox.store.tx(true, (tx) => tx.put("own", [this.outbox.visit, id], { ...row, m: { ...row.m, value: null } }));
          }
        }
      }
    };
  }
  return Sync;
}

function jpegLike(size, chance) {
  const bytes = new Uint8Array(size);
  for (let at = 0; at < size; at += 1) bytes[at] = Math.floor(chance() * 256);
  bytes.set([0xff, 0xd8, 0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46, 0]);
  return bytes.buffer;
}
