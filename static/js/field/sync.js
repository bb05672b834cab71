// Brings one visit's log and the server's together. Nothing is ever removed because of
// an answer; what was offered never changes; read back is the only proof.

const MOST_ROWS = 100;
const MOST_BYTES = 240 * 1024;
const PAGE = 500;
const MOST_ROUNDS = 2000;

export class Stopped extends Error {
  constructor(why, { wait = true, said = "" } = {}) {
    super(why);
    Object.assign(this, { why, wait, said });
  }
}

// `http(method, path, body)` resolves to {status, json}; json is null for anything that
// is not JSON. It rejects where there was no answer.
export class Sync {
  constructor({ outbox, http, newId, now, client, alarm = () => {} }) {
    Object.assign(this, { outbox, http, newId, now, client, alarm });
    this.most = MOST_ROWS;
    this.rounds = 0;
    this.base = `/api/sync/v1/visits/${outbox.visit}`;
  }

  // One round: everything sent, everything read. Throws Stopped with the reason.
  async run() {
    this.rounds = 0;
    if (this.outbox.stale) await this.outbox.open();
    await this.push();
    await this.pull();
    if (this.outbox.waiting().length) {
      await this.push();
      await this.pull();
    }
  }

  async push() {
    for (let batch = this.#batch(); batch.length; batch = this.#batch()) {
      if ((this.rounds += 1) > MOST_ROUNDS) throw new Stopped("no progress");
      const offered = await this.outbox.offer(batch);
      const req = this.newId();
      const answer = await this.#ask("POST", `${this.base}/push`, {
        req, device: this.outbox.meta.device, client: this.client, now: this.now(),
        mutations: offered.map((row) => ({ seq: row.seq, ...row.m })),
      });
      if (answer === "too large") {
        this.most = Math.max(1, Math.floor(Math.min(this.most, batch.length) / 2));
        continue;
      }
      if (answer.req !== req) throw new Stopped("not the server's answer");
      await this.#notice(answer);
      await this.#results(offered, answer);
    }
  }

  #batch() {
    const rows = this.outbox.waiting();
    const batch = [];
    let size = 0;
    for (const row of rows.slice(0, this.most)) {
      size += JSON.stringify(row.m).length + 40;
      if (batch.length && size > MOST_BYTES) break;
      batch.push(row);
    }
    return batch;
  }

  async #results(offered, { results, incarnation }) {
    const sent = new Map(offered.map((row) => [row.m.id, row]));
    const rows = [];
    let stop = null;
    for (const one of results) {
      const row = sent.get(one.id);
      if (!row) continue;
      if (one.s === "gap" || one.s === "fork") stop = one;
      else {
        if (one.s === "reused") this.alarm("reused", one);
        rows.push({ ...row, state: "acked", v: one.v, life: incarnation, said: one.s, why: one.why ?? "" });
      }
    }
    // Another tab may have met a server of another life since: then this says nothing.
    await this.outbox.keep((tx, meta) => (meta.incarnation === incarnation ? { rows } : {}));
    if (stop?.s === "gap") await this.#rewind(stop.expected);
    if (stop?.s === "fork") await this.#fork();
  }

  // The server lacks a number: everything from there on is offered once more.
  async #rewind(expected) {
    let known = false;
    await this.outbox.keep(async (tx) => {
      const mine = await this.outbox.mine(tx);
      known = mine.some((row) => row.seq === expected);
      const again = known ? mine.filter((row) => row.seq >= expected) : [];
      return { rows: again.map((row) => ({ ...row, state: "offered" })) };
    });
    if (!known) await this.#fork();
  }

  // This numbering belongs to somebody else's past: take a new device and number anew.
  async #fork() {
    await this.outbox.keep(async (tx) => {
      const mine = await this.outbox.mine(tx);
      this.alarm("fork", { rows: mine.length });
      const rows = mine.map((row, at) => ({ ...row, seq: at + 1, state: "offered" }));
      return { rows, meta: { device: this.newId(), next: rows.length + 1 } };
    });
    this.outbox.stale = true;
  }

  async pull() {
    for (let more = true; more; ) {
      const after = this.outbox.meta.cursor;
      const page = await this.#ask(
        "GET", `${this.base}/changes?after=${after}&limit=${PAGE}`,
      );
      if (!Array.isArray(page.changes)) throw new Stopped("not the server's answer");
      if (await this.#notice(page)) continue;
      const last = page.changes.at(-1)?.v ?? after;
      const entries = page.changes.map((one) => ({ ...one, seen: one.seen ?? [] }));
      // Data and cursor in one transaction: a kill between them would lose a row.
      const rows = this.#confirmed(entries);
      let moved = false;
      await this.outbox.keep((tx, meta) => {
        moved = meta.cursor !== after || meta.incarnation !== page.incarnation;
        return moved ? {} : { entries, rows, meta: { cursor: last } };
      });
      if (moved) await this.outbox.open();
      more = moved || page.more;
    }
    await this.#missing();
  }

  #confirmed(entries) {
    return entries
      .map((entry) => [this.outbox.own.get(entry.id), entry])
      .filter(([row]) => row && row.state !== "confirmed")
      .map(([row, entry]) => ({ ...row, state: "confirmed", v: entry.v }));
  }

  // Acked at or below the cursor, or by a server of another life, and yet not in the
  // feed: it never got in. Offer it again.
  async #missing() {
    const held = new Set([...this.outbox.mirror.values()].map((entry) => entry.id));
    let lost = [];
    await this.outbox.keep(async (tx, meta) => {
      const mine = await this.outbox.mine(tx);
      const here = mine.filter((row) => row.state !== "confirmed" && held.has(row.m.id));
      lost = mine.filter((row) => row.state === "acked" && row.said !== "reused" && !held.has(row.m.id)
        && (row.v <= meta.cursor || row.life !== meta.incarnation));
      return { rows: [...here.map((row) => ({ ...row, state: "confirmed" })),
        ...lost.map((row) => ({ ...row, state: "offered" }))] };
    });
    if (lost.length) this.alarm("acked and not there", { rows: lost.length });
  }

  // A server of another life, or one that knows less than we read: begin from nothing.
  async #notice({ incarnation, version }) {
    const known = this.outbox.meta.incarnation;
    const older = version !== undefined && version < this.outbox.meta.cursor;
    if (known === incarnation && !older) return false;
    if (known !== null || older) {
      this.alarm("restored", { version });
      await this.outbox.keep(async (tx) => {
        const rows = (await this.outbox.mine(tx)).map((row) => ({ ...row, state: "offered" }));
        return { rows, forget: true, meta: { cursor: 0, incarnation } };
      });
      return true;
    }
    await this.outbox.keep(() => ({ meta: { incarnation } }));
    return false;
  }

  async #ask(method, path, body) {
    const { status, json } = await this.http(method, path, body);
    if (status === 200 && json?.sync === 1) return json;
    if (status === 413) return "too large";
    if (status === 401) throw new Stopped("signed out", { wait: false });
    if (status === 403 || status === 404) {
      throw new Stopped("not allowed", { wait: false, said: json?.message ?? "" });
    }
    if (status === 426) throw new Stopped("too old", { wait: false });
    throw new Stopped("no good answer");
  }

  // Whether every own entry and every photo is on the server, by its own list.
  async sealed(sha256) {
    const held = await this.#ask("GET", `${this.base}/manifest`);
    if (await this.#notice(held)) return { whole: false, ...this.counts() };
    const versions = [...this.outbox.mirror.keys()].sort((a, b) => a - b);
    const ids = versions.map((v) => this.outbox.mirror.get(v).id);
    const digest = await sha256(ids.map((id) => `${id}\n`).join(""));
    const stored = held.photos.every((photo) => photo.stored && this.#asRecorded(photo));
    const same = held.count === ids.length && held.digest === digest;
    const all = [...this.outbox.own.values()].every((row) => row.state === "confirmed");
    const { count } = held;
    return { whole: same && stored && all, photos: held.photos, count, digest, ...this.counts() };
  }

  // The server's bytes of a photo are those that its record names, where it names any.
  #asRecorded({ id, sha256 }) {
    const named = this.outbox.standing.of(id).records[id]?.sha256;
    return !named || named === sha256;
  }

  // Tells the server that both lists are the same, to be kept with the visit. Null where it is
  // not taken: something has come in since, and the next comparison will say so.
  async prove({ count, digest }) {
    const { status, json } = await this.http("POST", `${this.base}/manifest`, {
      device: this.outbox.meta.device, client: this.client, count, digest,
    });
    return status === 200 && json?.sync === 1 ? json : null;
  }

  counts() {
    return this.outbox.counts();
  }
}
