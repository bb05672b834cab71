// Named facts computed from lists and readings before a rule's conditions run.
import { compare, fromAny, parse, sub, toWire } from "./exact.js";

const PAIRS = ["NG", "HN", "HG"];
const LIT_FROM_V = { n: 90n, d: 1n }; // a neon lamp strikes well below 120 V; common practice
const ZERO = { n: 0n, d: 1n };
const larger = (a, b) => (compare(a, b) >= 0 ? a : b);
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

function wallGaps(length, positions, otherwise = null) {
  const whole = parse(length ?? otherwise);
  if (!Array.isArray(positions)) return null;
  const found = positions.map((one) => parse(fromAny(one)));
  if (found.includes(null)) return null;
  found.sort(compare);
  const between = found.slice(1).map((one, at) => sub(one, found[at])).reduce(larger, ZERO);
  const result = { count: found.length, between: toWire(between) };
  if (whole) {
    const ends = found.length ? larger(found[0], sub(whole, found[found.length - 1])) : whole;
    result.ends = toWire(ends);
    result.largest = toWire(found.length > 1 ? between : ends);
  }
  return result;
}

function lamps(...states) {
  const dim = states.includes("dim");
  if (dim || states.includes(null)) return { key: null, dim: dim || null };
  return { key: PAIRS.filter((_, at) => states[at] === "on").join(" "), dim: false };
}

function potentials(slots) {
  if (!isObject(slots)) return { key: null };
  const volts = Object.fromEntries(Object.entries(slots).map(([name, value]) => [name.slice(0, 1).toUpperCase(), parse(value)]));
  if (!["H", "N", "G"].every((name) => name in volts)) return { key: null };
  const lit = PAIRS.filter(([one, two]) => {
    const [a, b] = [volts[one], volts[two]];
    if (!a || !b) return false;
    const apart = compare(a, b) >= 0 ? sub(a, b) : sub(b, a);
    return compare(apart, LIT_FROM_V) >= 0;
  });
  return { key: lit.join(" ") };
}

const FAULTS = [
  ["reversed_and_open_ground", ["revers", "open ground"]],
  ["reversed_bootleg", ["revers", "bootleg"]],
  ["bootleg", ["bootleg"]],
  ["neutral_ground_swapped", ["neutral", "ground", "swap"]],
  ["two_hots_same_leg", ["two hots", "same"]],
  ["two_hots_opposite_legs", ["two hots", "opposite"]],
  ["high_resistance", ["high", "resistance"]],
  ["weak_ground", ["ground", "weak"]],
  ["weak_ground", ["undersize"]],
  ["overfused_or_aluminium", ["overfus"]],
  ["overfused_or_aluminium", ["alumin"]],
  ["gfci_miswired", ["gfci"]],
];

function faultName(words) {
  const text = String(words ?? "").toLowerCase().replaceAll("_", " ");
  const found = text && FAULTS.find(([, parts]) => parts.every((part) => text.includes(part)));
  return { key: found ? found[0] : null };
}

function oldest(things) {
  const years = (Array.isArray(things) ? things : []).filter((one) => isObject(one) && Number.isInteger(one.made_year)).map((one) => one.made_year);
  return { year: years.length ? Math.min(...years) : null };
}

export const DERIVED = { wall_gaps: wallGaps, lamps, potentials, fault_name: faultName, oldest };
