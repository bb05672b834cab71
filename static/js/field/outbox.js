// What a person enters, kept on the device until the server has been read back with it.
// An own row is new, then offered, then acked with a version, then confirmed by the feed.
import { Standing } from "./standing.js";

export const MOST_BYTES = 64 * 1024;

export class TooLarge extends Error {}

// `store.tx(write, work)` runs work(tx) in one transaction, durable before it resolves.
// tx: get, put, del and all on the stores own, mirror, meta; keys are arrays of text.
export class Outbox {
  constructor({ store, visit, user, newId, now, schema = 1 }) {
    Object.assign(this, { store, visit, user, newId, now, schema });
    this.own = new Map();
    this.mirror = new Map();
    this.meta = null;
    this.stale = false; // another tab has written since we read
    this.turn = Promise.resolve();
    this.changed = () => {}; // told which records are new or different; null for all
    this.standing = new Standing();
  }

  // Reads what is on disk; the first time it also takes a device id for this user.
  async open() {
    await this.store.tx(true, async (tx) => {
      const found = await tx.get("meta", [this.visit, this.user]);
      this.meta = found ?? { device: this.newId(), next: 1, cursor: 0, incarnation: null, rev: 0 };
      if (!found) tx.put("meta", [this.visit, this.user], this.meta);
      this.own = new Map((await tx.all("own", [this.visit])).map((row) => [row.m.id, row]));
      this.mirror = new Map((await tx.all("mirror", [this.visit])).map((e) => [e.v, e]));
    });
    this.standing = new Standing(this.entries());
    this.stale = false;
    this.changed(null);
    return this;
  }

  entries() {
    return [...this.mirror.values(), ...[...this.own.values()].map((row) => row.m)];
  }

  fold() {
    return this.standing.fold();
  }

  headsOf(rec, field) {
    return this.standing.headsOf(rec, field);
  }

  // Writes one field. Resolves to the entry once it is on disk; only then is it saved.
  async write(rec, field, value) {
    return (await this.change(rec, { [field]: value }))[0];
  }

  // Writes several fields of a record, and what goes with them such as a photo's bytes, in
  // one transaction: either the whole of it is saved or nothing is. Resolves to the entries.
  change(rec, fields, also = []) {
    return this.changeAll([[rec, fields]], also);
  }

  // The same for several records: [[rec, fields], …]. One change after the other: the next
  // has then seen this one.
  changeAll(records, also = []) {
    const next = this.turn.then(() => this.#change(records, also));
    this.turn = next.catch(() => {});
    return next;
  }

  // Numbers and states are read inside the transaction: another tab may write as well.
  async #change(records, also) {
    const made = await this.keep(async (tx, meta) => {
      let next = meta.next;
      const rows = [];
      for (const [rec, fields] of records) {
        for (const [field, value] of Object.entries(fields)) {
          const row = await this.#row(tx, rec, field, value, next);
          next = Math.max(next, row.seq + 1);
          rows.push(row);
        }
      }
      return { rows, also, meta: { next } };
    });
    return made.rows.map((row) => row.m);
  }

  async #row(tx, rec, field, value, next) {
    const wholly = field === "_gone" && value === true;
    const before = this.headsOf(rec, wholly ? null : field);
    const held = await this.#coalesced(tx, before, field);
    const row = held
      ? { ...held, m: { ...held.m, value, at: this.now() } }
      : this.#fresh(next, { rec, field, value, before });
    if (JSON.stringify(row.m).length > MOST_BYTES) {
      throw new TooLarge("This text is too long to be sent. Shorten it or split it.");
    }
    return row;
  }

  // An entry that was never offered and is alone may take the next value in its place.
  async #coalesced(tx, before, field) {
    if (before.length !== 1 || field === "_gone" || !this.own.has(before[0].id)) return null;
    const held = await tx.get("own", [this.visit, before[0].id]);
    return held?.state === "new" && held.user === this.user ? held : null;
  }

  #fresh(seq, { rec, field, value, before }) {
    const m = {
      id: this.newId(), rec, field, value, seen: before.map((head) => head.id),
      schema: this.schema, at: this.now(),
    };
    return { visit: this.visit, user: this.user, seq, state: "new", m };
  }

  // Rows of this person that still have to be sent, in the order they were entered.
  waiting() {
    return [...this.own.values()]
      .filter((row) => row.user === this.user && (row.state === "new" || row.state === "offered"))
      .sort((a, b) => a.seq - b.seq);
  }

  counts() {
    const rows = [...this.own.values()];
    const on = rows.filter((row) => row.state === "confirmed").length;
    return { entries: this.mirror.size, saved: rows.length, onServer: on };
  }

  othersWaiting() {
    return [...this.own.values()].filter(
      (row) => row.user !== this.user && row.state !== "confirmed",
    ).length;
  }

  // Puts changed rows, new feed entries and meta on disk together, then into memory.
  // `change(tx, meta)` works it out inside the transaction.
  async keep(change) {
    let made;
    await this.store.tx(true, async (tx) => {
      const meta = (await tx.get("meta", [this.visit, this.user])) ?? this.meta;
      made = { rows: [], entries: [], also: [], forget: false, ...(await change(tx, meta)) };
      made.meta = { ...meta, ...made.meta, rev: meta.rev + 1 };
      if (meta.rev !== this.meta.rev) this.stale = true;
      if (made.forget) await tx.clear("mirror", [this.visit]);
      for (const row of made.rows) tx.put("own", [this.visit, row.m.id], row);
      for (const entry of made.entries) tx.put("mirror", [this.visit, entry.v], entry);
      for (const [name, key, value] of made.also) tx.put(name, key, value);
      tx.put("meta", [this.visit, this.user], made.meta);
    });
    if (made.forget) this.mirror = new Map();
    for (const row of made.rows) this.own.set(row.m.id, row);
    for (const entry of made.entries) this.mirror.set(entry.v, entry);
    this.meta = made.meta;
    const added = [...made.rows.map((row) => row.m), ...made.entries];
    if (made.forget) this.standing = new Standing(this.entries());
    else for (const entry of added) this.standing.add(entry);
    const whole = made.forget || added.some((entry) => entry.release);
    this.changed(whole ? null : new Set(added.map((entry) => entry.rec)));
    return made;
  }

  // This person's rows as they stand on disk, in the order they were numbered.
  async mine(tx) {
    const rows = await tx.all("own", [this.visit]);
    return rows.filter((row) => row.user === this.user).sort((a, b) => a.seq - b.seq);
  }

  // Marks rows as offered before they go out, as they stand on disk; what was ever
  // offered never changes again.
  async offer(rows) {
    const made = await this.keep(async (tx) => ({ rows: await this.#latest(tx, rows, "offered") }));
    return made.rows;
  }

  async #latest(tx, rows, state) {
    const found = [];
    for (const row of rows) {
      const held = await tx.get("own", [this.visit, row.m.id]);
      if (held) found.push({ ...held, state });
    }
    return found;
  }
}
