// Readings that bring their unit along: exact lengths, areas, temperatures; as units.py.
import { add, divide, fromAny, mul, parse, ratio, rounded, toWire } from "./exact.js";
import { quoted } from "./said.js";

const WRITTEN = /^(-?[0-9]+(?:\.[0-9]+)?)\s*([A-Za-z°%/0-9]+)$/;
const PLACES = 6;
const FAMILIES = [
  { in: [1, 1], ft: [12, 1], mm: [10, 254], cm: [100, 254], m: [10000, 254] },
  { in2: [1, 1], ft2: [144, 1], cm2: [10000, 64516] },
  { s: [1, 1], min: [60, 1], h: [3600, 1] },
  { A: [1, 1], mA: [1, 1000] },
  { W: [1, 1], kW: [1000, 1] },
  { "Btu/h": [1, 1], "kBtu/h": [1000, 1] },
];
const factor = ([top, bottom]) => ratio(BigInt(top), BigInt(bottom));
const has = (family, ...units) => units.every((unit) => Object.hasOwn(family, unit));

export class UnknownUnit extends Error {}

// A written reading in `unit`; null when it names no unit at all. Throws UnknownUnit.
export function converted(text, unit) {
  const found = WRITTEN.exec(text.trim());
  if (!found || fromAny(found[1]) === null) return null;
  const value = parse(fromAny(found[1]));
  const given = found[2].replace(/^°+/, "");
  if (given === unit) return toWire(value);
  if (unit === "F" && given === "C") return toWire(add(mul(value, ratio(9n, 5n)), ratio(32n)));
  const family = FAMILIES.find((one) => has(one, unit, given));
  if (!family) throw new UnknownUnit(`${quoted(given)} is no unit here; one of ${accepted(unit)}`);
  return toWire(rounded(divide(mul(value, factor(family[given])), factor(family[unit])), PLACES));
}

export function accepted(unit) {
  if (unit === "F") return "F, C";
  return Object.keys(FAMILIES.find((one) => has(one, unit)) ?? { [unit]: 1 }).join(", ");
}
