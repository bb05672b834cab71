// What a log means, as inspections/log/fold.py says it: a function of the set of its
// entries, of no order and no clock. Held to fixtures/vectors/fold.json with the server.

// A text that is equal for equal JSON values and no others.
export function valueKey(value) {
  if (Array.isArray(value)) return `[${value.map(valueKey).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const keys = Object.keys(value).sort();
  return `{${keys.map((key) => `${JSON.stringify(key)}:${valueKey(value[key])}`).join(",")}}`;
}

export function distinct(values) {
  const kept = new Map();
  for (const value of values) if (!kept.has(valueKey(value))) kept.set(valueKey(value), value);
  return [...kept.values()];
}

// Known versions first, each in its turn; what the server has not seen follows, by id.
export function byOrder(one, other) {
  const [a, b] = [one.v ?? null, other.v ?? null];
  if ((a === null) !== (b === null)) return a === null ? 1 : -1;
  if (a !== b) return a - b;
  return one.id < other.id ? -1 : Number(one.id > other.id);
}

// Each entry once, without those set apart that nobody has let in.
export function applied(entries) {
  const chosen = new Map();
  const released = new Set();
  for (const entry of entries) {
    if (entry.release) {
      released.add(entry.release);
      continue;
    }
    // What came back from the server knows more than the device's own copy.
    const held = chosen.get(entry.id);
    if (!held || byOrder(entry, held) < 0) chosen.set(entry.id, entry);
  }
  return [...chosen.values()].filter(
    (entry) => released.has(entry.id) || (entry.status ?? "ok") === "ok",
  );
}

// The entries that nothing of their own field has covered.
export function heads(entries) {
  const live = applied(entries);
  const covered = new Map();
  for (const entry of live) {
    const field = `${entry.rec} ${entry.field}`;
    if (!covered.has(field)) covered.set(field, new Set());
    for (const id of entry.seen) covered.get(field).add(id);
  }
  return live.filter((entry) => !covered.get(`${entry.rec} ${entry.field}`).has(entry.id));
}

export function fold(entries) {
  return view(heads(entries));
}

// The records and conflicts that a set of heads amounts to.
export function view(headsOfVisit) {
  const byRecord = new Map();
  for (const head of [...headsOfVisit].sort(byOrder)) {
    if (!byRecord.has(head.rec)) byRecord.set(head.rec, new Map());
    const fields = byRecord.get(head.rec);
    fields.set(head.field, [...(fields.get(head.field) ?? []), head]);
  }
  const result = { records: {}, conflicts: [], kindless: [] };
  for (const rec of [...byRecord.keys()].sort()) {
    const fields = byRecord.get(rec);
    if (!isGone(fields)) addRecord(result, rec, fields);
  }
  return result;
}

function addRecord(result, rec, fields) {
  const record = {};
  for (const field of [...fields.keys()].sort()) {
    const values = distinct(fields.get(field).map((head) => head.value));
    const deletedBesideChange = field === "_gone" && values.some((value) => value === true);
    if (values.length > 1 || deletedBesideChange) result.conflicts.push({ rec, field, values });
    if (field !== "_gone" && values[0] !== null) record[field] = values[0];
  }
  if ("kind" in record) result.records[rec] = record;
  else result.kindless.push(rec);
}

// Every head of the record was seen by those who deleted it.
function isGone(fields) {
  const verdicts = fields.get("_gone") ?? [];
  if (!verdicts.length || verdicts.some((head) => head.value !== true)) return false;
  const seen = new Set(verdicts.flatMap((head) => head.seen));
  return [...fields].every(
    ([field, ofField]) => field === "_gone" || ofField.every((head) => seen.has(head.id)),
  );
}
