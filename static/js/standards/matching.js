// Finds the records of a visit that a standard's line speaks of; findings/standards/matching.py
// in the browser. `records` is {id: record} with its ids in order.

export function matches(record, where) {
  return Object.entries(where ?? {}).every(([field, want]) => fits(record[field], want));
}

function fits(value, want) {
  if (Array.isArray(want)) return want.some((one) => same(value, one));
  if (want !== null && typeof want === "object") return within(value, want);
  return same(value, want);
}

// Python holds True and 1 for equal; the packs rely on it nowhere, and here they differ.
const same = (value, want) => (value ?? null) === (want ?? null);

function within(value, { min = -Infinity, max = Infinity }) {
  if (value === null || value === undefined || value === "" || Array.isArray(value)) return false;
  const number = Number(value);
  return !Number.isNaN(number) && min <= number && number <= max;
}

// [id, record] of what a line speaks of, in order.
export function found(byKind, line) {
  return (byKind.get(line.record) ?? []).filter(([, record]) => matches(record, line.where));
}

export function anyOf(byKind, lines) {
  return (lines ?? []).some((line) => (byKind.get(line.record) ?? []).some(([, record]) => matches(record, line.where)));
}

export function holds(record, fields) {
  return (fields ?? []).every((field) => {
    const value = record[field];
    return !(value === null || value === undefined || value === "" || (Array.isArray(value) && !value.length));
  });
}

// Fills a line's sentence from a record, values in plain words.
export function sentence(template, record, words) {
  const said = (value) => {
    if (value === true || value === false) return words[value ? "True" : "False"] ?? (value ? "True" : "False");
    return words[String(value)] ?? String(value);
  };
  return template.replace(/\{(\w+)\}/g, (_, name) => {
    if (name in record && record[name] !== undefined) return said(record[name]);
    return name === "name" ? "Panel" : `{${name}}`;
  }).trim();
}
