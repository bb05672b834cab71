// Lengths as people write them, to decimals of the field's own unit. Exact in sixty-fourths of
// an inch; the foot and the inch are 12 in and 2.54 cm exactly (NIST SP 811, appendix B).

const PLACES = 4;
const MARKS = /(?:(\d+(?:\.\d+)?)\s*(?:'|′|ft|feet|foot)\s*-?\s*)?(?:(\d+(?:\.\d+)?)?(?:\s+|-)?(?:(\d+)\/(\d+))?\s*(?:"|″|in|inches|inch)?)?$/i;

// Inches from 8' 6 1/2", 8-6, 102.5, 6 1/2 in; null where it cannot be read.
export function inchesOf(text) {
  const given = text.trim();
  if (!given) return null;
  const bare = /^(\d+)-(\d+(?:\.\d+)?)$/.exec(given); // feet-inches as spoken
  if (bare) return Number(bare[1]) * 12 + Number(bare[2]);
  const found = new RegExp(`^${MARKS.source}`, "i").exec(given);
  if (!found || found.slice(1).every((part) => part === undefined)) return null;
  const [, feet, inches, over, under] = found;
  if (under !== undefined && Number(under) === 0) return null;
  return Number(feet ?? 0) * 12 + Number(inches ?? 0) + (over === undefined ? 0 : Number(over) / Number(under));
}

export function centimetersOf(text) {
  const found = /^(\d+(?:[.,]\d+)?)\s*(mm|cm|m)$/i.exec(text.trim());
  if (!found) return null;
  return Number(found[1].replace(",", ".")) * { mm: 0.1, cm: 1, m: 100 }[found[2].toLowerCase()];
}

// A decimal text with no more places than needed.
export const decimal = (number) => String(Number(number.toFixed(PLACES)));

// The text of a field in its unit, in or ft, from whatever was written; null for what is no length.
export function lengthIn(unit, text) {
  const metric = centimetersOf(text);
  const inches = metric === null ? inchesOf(text) : metric / 2.54;
  if (inches === null) {
    return null;
  }
  // A bare number is in the field's own unit.
  if (metric === null && /^\d+(\.\d+)?$/.test(text.trim())) return decimal(Number(text));
  return decimal(unit === "ft" ? inches / 12 : inches);
}

// 102.5 in as 8′ 6 1/2″, to the nearest sixteenth.
export function feetAndInches(unit, value) {
  const sixteenths = Math.round(Number(value) * (unit === "ft" ? 12 : 1) * 16);
  const [feet, rest] = [Math.floor(sixteenths / 192), sixteenths % 192];
  const [whole, part] = [Math.floor(rest / 16), rest % 16];
  let [over, under] = [part, 16];
  while (over && over % 2 === 0) [over, under] = [over / 2, under / 2];
  return [feet && `${feet}′`, (whole || over || !feet) && `${whole || !over ? whole : ""}${over ? `${whole ? " " : ""}${over}/${under}` : ""}″`].filter(Boolean).join(" ");
}
