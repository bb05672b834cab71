// Fills the blanks of a passage from what was recorded; what is not filled stays visible. The
// counterpart of findings/wording/blanks.py.
const BLANK = /\{([a-z][A-Za-z0-9_]*)(?::([A-Za-z%]+))?\}/g;
const OPTIONAL = /\[\[(.*?)\]\]/g;
const BARE_NUMBER = /^-?\d+(?:\.\d+)?(?:\/0)?$/;

export function fillText(template, values, { says = {}, units = {} } = {}) {
  const known = Object.fromEntries(Object.entries(values).map(([name, raw]) => [name, String(raw)]).filter(([, text]) => text));
  const value = (whole, name, unit) => {
    if (!(name in known)) return whole;
    const said = says[known[name]] ?? known[name];
    const own = unit ?? units[name] ?? "";
    if (!own || !BARE_NUMBER.test(said)) return said;
    return own === "%" ? `${said}%` : `${said} ${own}`;
  };
  const kept = template.replace(OPTIONAL, (_, clause) => ([...clause.matchAll(BLANK)].some((blank) => !(blank[1] in known)) ? "" : clause));
  const filled = kept.replace(BLANK, value);
  return filled.slice(0, 1).toUpperCase() + filled.slice(1);
}

// What a stop's records give: its place, and each measure and field by its name.
export function valuesAt(visit, stop, rec = null) {
  const values = { place: visit.rec(stop)?.name ?? "" };
  for (const [, one] of visit.at(stop, "measure")) if (one.what && one.value) values[one.what.replace(/_(in|ft|F|psi|pct|V|A)$/, "")] = one.value;
  for (const [name, value] of Object.entries((rec && visit.rec(rec)) ?? {})) {
    if (["string", "number"].includes(typeof value) && !["stop", "kind"].includes(name)) values[name.replace(/_(in|ft)$/, "")] = value;
  }
  return values;
}

// What a passage ties its blanks to: the one value that the stop's records have, or none. The
// counterpart of findings/wording/bound.py.
export function boundAt(records, binds = {}) {
  const found = {};
  for (const [blank, tied] of Object.entries(binds)) {
    const [kind, field] = tied.split(".");
    const values = new Set(records.map((one) => valueOf(one, kind, field)).filter((value) => value !== ""));
    if (values.size === 1) [found[blank]] = values;
  }
  return found;
}

function valueOf(record, kind, field) {
  if (record.kind !== kind) return "";
  if (kind === "measure") return record.what === field ? String(record.value ?? "") : "";
  const value = record[field];
  return ["string", "number"].includes(typeof value) ? String(value) : "";
}
