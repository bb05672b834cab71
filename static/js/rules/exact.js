// Exact numbers for the rules: whole numbers and decimal strings, as pairs of BigInt.
import { quoted } from "./said.js";

const NUMBER = /^-?(0|[1-9][0-9]{0,29})(\.[0-9]{1,30})?$/;
const SAFE = BigInt(Number.MAX_SAFE_INTEGER);

export class Mismatch extends Error {}

const abs = (n) => (n < 0n ? -n : n);

function gcd(a, b) {
  while (b) [a, b] = [b, a % b];
  return a;
}

export function ratio(top, bottom = 1n) {
  const sign = bottom < 0n ? -1n : 1n;
  const by = gcd(abs(top), abs(bottom)) || 1n;
  return { n: (sign * top) / by, d: (sign * bottom) / by };
}

const isWhole = (value) => typeof value === "bigint" || (typeof value === "number" && Number.isInteger(value));

// The exact number a value stands for, or null when it is not one.
export function parse(value) {
  if (isWhole(value)) return { n: BigInt(value), d: 1n };
  if (typeof value !== "string" || !NUMBER.test(value)) return null;
  const [whole, digits = ""] = value.split(".");
  return ratio(BigInt(whole + digits) * 1n, 10n ** BigInt(digits.length));
}

export function number(value) {
  const found = parse(value);
  if (found === null) throw new Mismatch(`${quoted(value)} is not a number`);
  return found;
}

export const add = (a, b) => ratio(a.n * b.d + b.n * a.d, a.d * b.d);
export const sub = (a, b) => ratio(a.n * b.d - b.n * a.d, a.d * b.d);
export const mul = (a, b) => ratio(a.n * b.n, a.d * b.d);
export const divide = (a, b) => ratio(a.n * b.d, a.d * b.n);

export function compare(a, b) {
  const left = a.n * b.d;
  const right = b.n * a.d;
  return left < right ? -1 : left > right ? 1 : 0;
}

// A whole number as itself, any other as its shortest decimal string.
export function toWire(value) {
  if (value.d === 1n) return abs(value.n) <= SAFE ? Number(value.n) : value.n;
  let rest = value.d;
  let twos = 0;
  let fives = 0;
  while (rest % 2n === 0n) [rest, twos] = [rest / 2n, twos + 1];
  while (rest % 5n === 0n) [rest, fives] = [rest / 5n, fives + 1];
  if (rest !== 1n) throw new Mismatch("no finite decimal form");
  const places = Math.max(twos, fives);
  const digits = ((abs(value.n) * 10n ** BigInt(places)) / value.d).toString().padStart(places + 1, "0");
  return `${value.n < 0n ? "-" : ""}${digits.slice(0, -places)}.${digits.slice(-places)}`;
}

function floor(value) {
  const cut = value.n / value.d;
  return value.n % value.d !== 0n && value.n < 0n ? cut - 1n : cut;
}

export function rounded(value, places, how = "half_up") {
  const scale = 10n ** BigInt(places);
  const scaled = mul(value, { n: scale, d: 1n });
  const low = floor(scaled);
  let whole = low;
  if (how === "up" && scaled.d !== 1n) whole = low + 1n;
  if (how === "half_up") {
    const away = floor(add({ n: abs(scaled.n), d: scaled.d }, { n: 1n, d: 2n }));
    whole = scaled.n < 0n ? -away : away;
  }
  return ratio(whole, scale);
}

function root(value, degree) {
  if (value <= 1n || degree === 1n) return value;
  let low = 0n;
  let high = 1n << (BigInt(value.toString(2).length) / degree + 1n);
  while (low < high) {
    const middle = (low + high + 1n) / 2n;
    if (middle ** degree <= value) low = middle;
    else high = middle - 1n;
  }
  return low;
}

export function power(base, exponent, places) {
  const fits = exponent.n > 0n && exponent.n <= 10n * exponent.d && exponent.d <= 1000n;
  if (base.n <= 0n || !fits) throw new Mismatch("power takes a positive base and an exponent up to 10");
  const scale = 10n ** (BigInt(places) * exponent.d);
  const top = (base.n ** exponent.n * scale) / base.d ** exponent.n;
  return ratio(root(top, exponent.d), 10n ** BigInt(places));
}

// A number from a form's text or a file's number; null when it is none.
export function fromAny(value) {
  const text = typeof value === "number" && !Number.isInteger(value) ? String(value) : value;
  const found = parse(typeof text === "string" ? text.trim() : text);
  return found === null ? null : toWire(found);
}
