// From a folded visit to the inputs of rules: the view on facts, and one binding; as
// findings/rules/bindings.py has them. What is asked of the view is noted, so that a part
// of the answer knows what it rests on.
import { bare } from "../said.js";

const HOW_OF_FIELD = {
  conductor_size: "conductor_how", conductor_material: "conductor_how", conductor_parallel: "conductor_how",
  size: "how", material: "how", stranding: "how", sizes: "how",
};
const READ_FIELDS = new Set(["amps", "main_amps", "bus_amps", "meter_base_amps", "plate_mca", "plate_mocp", "plate_watts", "plate_volts", "made_year", "labels", "label"]);
const FIELD_WORDS = { plate_mca: "smallest circuit on the plate", plate_mocp: "largest breaker on the plate" };
const NONE = Object.freeze({});

export const fieldWords = (name) => FIELD_WORDS[name] ?? name.replaceAll("_", " ");

// One recorded value that a rule reads, as a proposal shows it.
export const fact = (record, field, value, how, label, unit = "") => ({ record, field, label, value, unit, how_known: how });

export class View {
  // records: id -> record; disputed: id -> field -> values that stand side by side.
  constructor(records, disputed) {
    Object.assign(this, { records, disputed, house: {} });
    this.reads = null; // a Set while a part is worked out
    this.byKind = new Map();
    for (const id of Object.keys(records).sort()) {
      const kind = String(records[id].kind ?? "");
      if (!this.byKind.has(kind)) this.byKind.set(kind, []);
      this.byKind.get(kind).push(id);
    }
  }

  // The same records, of which more is in dispute, with what is known of the property.
  with(disputed, house) {
    return Object.assign(Object.create(View.prototype), this, { disputed, house });
  }

  // A record as it stands, whatever is disputed in it; empty where there is none.
  row(id) {
    this.reads?.add(id);
    return this.records[id] ?? NONE;
  }

  has(id) {
    this.reads?.add(id);
    return typeof id === "string" && Object.hasOwn(this.records, id);
  }

  // A field's value, or null when unknown, unanswered or in dispute.
  get(id, name) {
    if (!id || this.inDispute(id, name)) return null;
    return this.records[id]?.[name] ?? null;
  }

  inDispute(id, name) {
    this.reads?.add(id);
    return this.disputed.get(id)?.has(name) ?? false;
  }

  all(kind) {
    this.reads?.add(`kind:${kind}`);
    return this.byKind.get(kind) ?? [];
  }

  // The one record of a kind that a visit has, or null.
  only(kind) {
    return this.all(kind)[0] ?? null;
  }

  how(id, name) {
    const row = this.row(id);
    const own = row.how_known || (row[HOW_OF_FIELD[name]] ?? null);
    if (own === null) return READ_FIELDS.has(name) ? "read" : "seen";
    return own === "compared" ? "seen" : bare(own);
  }

  // Where a record is, in the inspector's own words.
  place(id) {
    const row = this.row(id);
    const stop = bare(this.get(row.stop, "name") || "");
    const own = bare(row.place || row.location || row.name || "");
    if (row.kind === "stop") return bare(row.name ?? "");
    if (own.toLowerCase().startsWith(stop.toLowerCase())) return capital(own);
    return own ? `${stop}, ${own}` : stop;
  }

  // Which receptacles took this one with them when they were tripped.
  diedWith(id) {
    this.reads?.add(`died:${id}`);
    this.dead ??= this.deadWith();
    return this.dead.get(id) ?? [];
  }

  deadWith() {
    const dead = new Map();
    for (const one of this.byKind.get("receptacle") ?? []) {
      const others = this.disputed.get(one)?.has("died_with") ? [] : this.records[one].died_with ?? [];
      for (const other of others) dead.set(other, [...(dead.get(other) ?? []), one]);
    }
    return dead;
  }

  // Whether a stop was left, so that its recorders may speak.
  closed(stop) {
    return Boolean(this.get(stop, "closed_at"));
  }
}

const capital = (text) => {
  const [head = "", ...rest] = Array.from(text);
  return `${head.toUpperCase()}${rest.join("")}`;
};

// One rule over one subject, with the facts its inputs came from.
export class Binding {
  constructor(view, rule, subject, item, { place = null, stop = null, system = "electrical", ask = [] } = {}) {
    const row = place === null || stop === null ? view.row(subject) : NONE;
    this.rule = rule;
    this.subject = subject;
    this.stop = stop ?? (row.kind === "stop" ? subject : bare(row.stop || ""));
    this.place = place ?? view.place(subject);
    this.item = item;
    this.system = system;
    this.ask = ask;
    this.inputs = {};
    this.facts = [];
    this.sources = {};
    this.also = [];
  }

  // Inputs that no single field holds.
  give(inputs) {
    Object.assign(this.inputs, inputs);
    return this;
  }

  asking(...names) {
    this.ask = names;
    return this;
  }

  // Reads a field into an input; `words` maps its values, others are unknown.
  take(view, name, record, source, { words = null, unit = "", label = "" } = {}) {
    if (record === null || record === undefined || view.inDispute(record, source)) return this;
    const raw = view.get(record, source);
    const how = view.how(record, source);
    this.sources[name] = fact(record, source, raw, how, label || fieldWords(source), unit);
    if (raw === null || how === "not_seen") return this;
    this.facts.push(this.sources[name]);
    this.inputs[name] = typeof raw === "object" || words === null ? raw : words.get(raw) ?? null;
    return this;
  }
}

// A field's words and what they mean to a rule.
export const means = (pairs) => new Map(Object.entries(pairs));
export const YES_NO = means({ yes: true, no: false });
export const LOOKED = means({ present: true, looked_none: false });
export const ANSWER = means({ yes: true, no: false, looked_none: false });

// Height as context, in words; empty when it was not taken.
export const reachWords = (height) => (height === null ? "" : `${bare(height)} in above the floor`);
