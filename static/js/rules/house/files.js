// What a rule's own file says it reads of a record; findings/rules/binds.py.
import { bare } from "../said.js";
import { Binding, means } from "./view.js";

const FAMILIES = ["plumbing_family", "mechanical_family"];
const ARRIVAL = { temp_out_f: { label: "outside temperature", unit: "°F" } };
const UNITS = new Map(Object.entries({
  in: "in", ft: "ft", ft2: "square feet", in2: "square inches", psi: "psi", f: "°F", btuh: "Btu/h", pct: "percent",
  cfm: "cfm", gpm: "gpm", pcil: "pCi/L", v: "V", a: "A", w: "W",
}));

// A function from a record of the kind to its bindings, made once for a rule.
export function reader(rule) {
  const { binds } = rule;
  const where = Object.entries(binds.where);
  const sources = Object.entries(binds.inputs).map(([name, source]) => ({ ...source, into: name, words: source.words && means(source.words) }));
  return (view, tree, record) => {
    if (!where.every(([name, among]) => among.includes(bare(view.get(record, name))))) return [];
    const found = new Binding(view, rule.id, record, binds.item, { system: rule.system, ask: binds.asks });
    for (const source of sources) READ[source.from](view, found, record, source);
    return [found];
  };
}

function field(view, found, record, { into, name, words }) {
  const at = name.lastIndexOf("_");
  const unit = at < 0 ? "" : UNITS.get(name.slice(at + 1)) ?? "";
  // The value carries the unit; the name need not say it again.
  found.take(view, into, record, name, { words, unit, label: (unit ? name.slice(0, at) : name).replaceAll("_", " ") });
}

function stop(view, found, record, { into, name, words }) {
  found.take(view, into, bare(view.get(record, "stop") || "") || null, name, { words });
}

function visit(view, found, record, { into, name, words }) {
  const own = view.only("visit");
  if (ARRIVAL[name]) return found.take(view, into, own, name, { words, ...ARRIVAL[name] });
  if (FAMILIES.includes(name)) {
    const said = bare(view.house[name] || "");
    return found.give({ [into]: said && words ? words.get(said) ?? null : null });
  }
  const arrived = bare(view.get(own, "arrived_at") || "").slice(0, 10);
  const value = name === "visit_year" ? arrived.slice(0, 4) : arrived;
  return value ? found.give({ [into]: value }) : found;
}

const READ = { field, stop, visit, value: (view, found, record, { into, name }) => found.give({ [into]: name }) };
