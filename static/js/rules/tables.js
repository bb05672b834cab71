// Named look-up tables: exact rows, or the next row at or above (below) a value.
import { compare, number, parse } from "./exact.js";

function same(left, right) {
  const [one, two] = [parse(left), parse(right)];
  return one && two ? compare(one, two) === 0 : left === right;
}

function find(table, keys) {
  const last = table.keys.length - 1;
  const rows = table.rows.filter((row) => table.keys.slice(0, last).every((name, at) => same(row[name], keys[at])));
  const name = table.keys[last];
  if (table.match === "exact") return rows.find((row) => same(row[name], keys[last])) ?? null;
  const wanted = parse(keys[last]);
  return wanted && nearest(rows, name, wanted, table.match === "at_least");
}

function nearest(rows, name, wanted, above) {
  const fitting = rows.filter((row) => (above ? compare(number(row[name]), wanted) >= 0 : compare(number(row[name]), wanted) <= 0));
  if (!fitting.length) return null;
  const sign = above ? 1 : -1;
  // Of rows with the same key the first is meant from above, the last from below.
  return fitting.reduce((best, row) => {
    const step = sign * compare(number(row[name]), number(best[name]));
    return step < 0 || (step === 0 && !above) ? row : best;
  });
}

export class Tables {
  constructor(byId) {
    this.byId = byId;
  }

  // The cell, or null when there is no such table, row or column.
  look(name, column, keys) {
    const table = typeof name === "string" && Object.hasOwn(this.byId, name) ? this.byId[name] : null;
    if (!table || keys.length !== table.keys.length) return null;
    const row = find(table, keys);
    return row === null || !Object.hasOwn(row, column) ? null : row[column] ?? null;
  }
}
