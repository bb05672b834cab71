// One visit as the screens see it: records by kind and by stop, kept up to date change by
// change, and the ways to write. What is shown has been saved on this phone.
import { signal } from "./ui.js";
import { inRouteOrder } from "../../standards/route.js";

const POINTS_AT_STOP = "stop";
const CALM_AFTER = 180; // ms

export class OpenVisit {
  constructor({ book, pack, outbox, store, newId, now }) {
    Object.assign(this, { book, pack, outbox, store, newId, now });
    this.id = outbox.visit;
    this.user = outbox.user;
    this.version = signal(0); // read it to be drawn anew after each change
    this.calm = signal(0); // the same, once nothing has changed for a moment
    this.lastSaved = signal(null);
    this.afterWrite = () => {};
    outbox.changed = (recs) => this.#refresh(recs);
    this.#refresh(null);
  }

  // The package and book as they lie on the phone now; the same ones stay the same objects.
  renew(pack, book) {
    if (pack.digest !== this.pack.digest) this.pack = pack;
    if (book.digest !== this.book.digest) this.book = book;
    this.#changed();
  }

  rec(id) {
    return this.byRec.get(id);
  }

  // [id, record] of a kind, optionally with these values, oldest first.
  of(kind, where = {}) {
    const wanted = Object.entries(where);
    const found = [...(this.byKind.get(kind) ?? [])].sort();
    return found
      .map((id) => [id, this.byRec.get(id)])
      .filter(([, record]) => wanted.every(([field, value]) => record[field] === value));
  }

  // [id, record] of everything that names this stop.
  at(stop, kind = null) {
    return [...(this.byStop.get(stop) ?? [])].sort()
      .map((id) => [id, this.byRec.get(id)])
      .filter(([, record]) => kind === null || record.kind === kind);
  }

  stops() {
    return inRouteOrder(this.of("stop"));
  }

  records() {
    if (!this.whole) this.whole = Object.fromEntries([...this.byRec].sort(([a], [b]) => (a < b ? -1 : 1)));
    return this.whole;
  }

  conflicts() {
    return [...this.inConflict.values()].flat();
  }

  // The visit's own record has the visit's id and may not be written yet.
  about() {
    return this.rec(this.id) ?? {};
  }

  get left() {
    return Boolean(this.about().left_at);
  }

  // Changes fields of a record in one transaction; what is the same already is left out.
  async set(rec, fields, also = []) {
    const held = this.rec(rec) ?? {};
    const changed = this.#differing(rec, fields);
    if (!held.kind && !changed.kind && rec === this.id) changed.kind = "visit";
    if (!Object.keys(changed).length && !also.length) return [];
    const entries = await this.outbox.change(rec, changed, also);
    this.#written();
    return entries;
  }

  // A new record; every entry says whether it was made on site or after leaving.
  async make(kind, fields, also = [], rec = this.newId()) {
    const given = Object.entries(fields).filter(([, value]) => value !== null && value !== undefined);
    const whole = { kind, ...Object.fromEntries(given) };
    if (!("on_site" in whole) && kind !== "visit" && kind !== "mark") whole.on_site = !this.left;
    await this.outbox.change(rec, whole, also);
    this.#written();
    return rec;
  }

  // Several records in one transaction: [[rec, fields], …], each either new (its fields name
  // a kind) or held; what is the same already is left out.
  async setAll(rows) {
    const changed = rows.map(([rec, fields]) => [rec, this.#differing(rec, fields)]).filter(([, fields]) => Object.keys(fields).length);
    if (!changed.length) return [];
    const entries = await this.outbox.changeAll(changed);
    this.#written();
    return entries;
  }

  #differing(rec, fields) {
    const held = this.rec(rec) ?? {};
    const whole = held.kind || !fields.kind || ["visit", "mark"].includes(fields.kind) ? fields : { on_site: !this.left, ...fields };
    return Object.fromEntries(Object.entries(whole)
      .filter(([name, value]) => JSON.stringify(value ?? null) !== JSON.stringify(held[name] ?? null))
      .map(([name, value]) => [name, value ?? null]));
  }

  async remove(rec) {
    await this.outbox.change(rec, { _gone: true });
    this.#written();
  }

  async restore(rec) {
    await this.outbox.change(rec, { _gone: false });
    this.#written();
  }

  #written() {
    this.lastSaved.value = this.now();
    this.afterWrite(this);
  }

  #refresh(recs) {
    if (recs === null) {
      this.byRec = new Map();
      this.byKind = new Map();
      this.byStop = new Map();
      this.inConflict = new Map();
      recs = new Set(this.outbox.standing.byField.keys());
    }
    for (const rec of recs) if (rec) this.#one(rec);
    this.whole = null;
    this.#changed();
  }

  #changed() {
    this.version.value = this.version.peek() + 1;
    clearTimeout(this.calming);
    this.calming = setTimeout(() => (this.calm.value = this.version.peek()), CALM_AFTER);
  }

  #one(rec) {
    const { records, conflicts } = this.outbox.standing.of(rec);
    const [before, now] = [this.byRec.get(rec), records[rec]];
    if (before) {
      this.byKind.get(before.kind)?.delete(rec);
      this.byStop.get(before[POINTS_AT_STOP])?.delete(rec);
    }
    if (now) {
      this.byRec.set(rec, now);
      put(this.byKind, now.kind, rec);
      if (now[POINTS_AT_STOP]) put(this.byStop, now[POINTS_AT_STOP], rec);
    } else this.byRec.delete(rec);
    if (conflicts.length) this.inConflict.set(rec, conflicts);
    else this.inConflict.delete(rec);
  }
}

function put(index, key, rec) {
  if (!index.has(key)) index.set(key, new Set());
  index.get(key).add(rec);
}
