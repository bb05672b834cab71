// The fold kept up to date entry by entry: a write looks at its own field only, and what
// is shown is worked out anew only for records that changed. Equal to fold() always.
import { byOrder, view } from "./fold.js";

export class Standing {
  constructor(entries = []) {
    this.byField = new Map(); // rec -> field -> id -> entry
    this.released = new Set();
    this.shown = new Map(); // rec -> {records, conflicts, kindless} of that record alone
    for (const entry of entries) this.add(entry);
  }

  // Takes an entry, or a newer copy of one: the server's over the device's own.
  add(entry) {
    if (entry.release) {
      this.released.add(entry.release);
      this.shown.clear(); // rare: somebody in the office let something in
      return;
    }
    const rec = entry.rec ?? "";
    if (!this.byField.has(rec)) this.byField.set(rec, new Map());
    const fields = this.byField.get(rec);
    if (!fields.has(entry.field)) fields.set(entry.field, new Map());
    const ofField = fields.get(entry.field);
    const held = ofField.get(entry.id);
    if (held && byOrder(entry, held) > 0) return;
    ofField.set(entry.id, entry);
    this.shown.delete(rec);
  }

  headsOf(rec, field = null) {
    const fields = this.byField.get(rec);
    if (!fields) return [];
    const names = field === null ? [...fields.keys()] : [field];
    return names.flatMap((name) => this.#ofField(fields.get(name)));
  }

  #ofField(entries) {
    if (!entries) return [];
    const live = [...entries.values()].filter(
      (entry) => this.released.has(entry.id) || (entry.status ?? "ok") === "ok",
    );
    const covered = new Set(live.flatMap((entry) => entry.seen));
    return live.filter((entry) => !covered.has(entry.id)).sort(byOrder);
  }

  // One record's part of it: {records, conflicts, kindless}.
  of(rec) {
    if (!this.shown.has(rec)) this.shown.set(rec, view(this.headsOf(rec)));
    return this.shown.get(rec);
  }

  // The records and conflicts, as fold() has them.
  fold() {
    const result = { records: {}, conflicts: [], kindless: [] };
    for (const rec of [...this.byField.keys()].sort()) {
      const one = this.of(rec);
      Object.assign(result.records, one.records);
      result.conflicts.push(...one.conflicts);
      result.kindless.push(...one.kindless);
    }
    return result;
  }
}
