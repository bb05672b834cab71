// What the rules made of a visit, kept part by part until something it read changes; kept.py.
// A part is one gatherer over one record. After one more entry only the parts that read what
// it touches are worked out anew; the same comes out as from scratch.
import { HOUSE } from "./gatherers.js";

const kindOf = (record) => String(record.kind ?? "");

export class Parts {
  constructor() {
    this.forget(null);
  }

  forget(context) {
    this.context = context;
    this.records = {};
    this.disputed = new Map();
    this.outline = new Map();
    this.parts = new Map(); // "name\nrecord" -> {proposals, beside, reads}
    this.index = new Map(); // what was read -> keys of the parts that read it
    this.stale = new Map(); // key -> [name, record], to be worked out; kept when interrupted
    this.worked = 0;
  }

  // Takes in how the visit stands now. `context` is a text of all that parts rest on beside
  // the records; `gatherers` belong to it.
  take(context, view, tree, gatherers) {
    if (context !== this.context) this.forget(context);
    const tokens = this.#changed(view);
    if (!this.parts.size) for (const name of gatherers.get(HOUSE)?.keys() ?? []) this.#want(name, HOUSE);
    for (const id of [...tokens]) this.#touched(id, view, gatherers, tokens);
    const outline = tree.outline();
    this.#moved(outline, tokens);
    for (const token of tokens) for (const key of this.index.get(token) ?? []) this.#want(...key.split("\n"));
    [this.records, this.disputed, this.outline] = [view.records, view.disputed, outline];
    this.worked = this.stale.size;
  }

  // Works out one part after the other; to be stopped after any of them.
  *work(view, tree, gatherers, say) {
    for (const [key, [name, record]] of [...this.stale]) {
      const gather = gatherers.get(record === HOUSE ? HOUSE : kindOf(view.records[record] ?? {}))?.get(name);
      const reads = new Set();
      view.reads = reads;
      const made = gather && say(view, () => gather(view, tree, record));
      view.reads = null;
      this.#drop(key);
      if (made) this.#put(key, { ...made, reads });
      yield;
    }
  }

  #want(name, record) {
    this.stale.set(`${name}\n${record}`, [name, record]);
  }

  #changed(view) {
    const { records } = view;
    const found = new Set(Object.keys(this.records).filter((id) => !Object.hasOwn(records, id)));
    for (const id of Object.keys(records)) if (this.records[id] !== records[id]) found.add(id);
    for (const [one, other] of [[this.disputed, view.disputed], [view.disputed, this.disputed]]) {
      for (const [id, fields] of one) for (const name of fields.keys()) if (!other.get(id)?.has(name)) found.add(id);
    }
    return found;
  }

  #touched(id, view, gatherers, tokens) {
    const [before, now] = [this.records[id], view.records[id]];
    const moved = !before || !now || kindOf(before) !== kindOf(now);
    for (const one of [before, now].filter(Boolean)) {
      if (moved) tokens.add(`kind:${kindOf(one)}`);
      for (const other of one.died_with ?? []) tokens.add(`died:${other}`);
    }
    if (before && moved) for (const name of gatherers.get(kindOf(before))?.keys() ?? []) this.#drop(`${name}\n${id}`);
    if (now) for (const name of gatherers.get(kindOf(now))?.keys() ?? []) this.#want(name, id);
  }

  #moved(outline, tokens) {
    for (const one of new Set([...outline.keys(), ...this.outline.keys()])) {
      if (outline.get(one) === this.outline.get(one)) continue;
      tokens.add(`tree:${one}`);
      tokens.add("tree:*");
    }
  }

  #drop(key) {
    this.stale.delete(key);
    this.#takeOut(key);
  }

  #takeOut(key) {
    for (const token of this.parts.get(key)?.reads ?? []) this.index.get(token)?.delete(key);
    this.parts.delete(key);
  }

  #put(key, part) {
    this.parts.set(key, part);
    for (const token of part.reads) {
      if (!this.index.has(token)) this.index.set(token, new Set());
      this.index.get(token).add(key);
    }
  }
}
