// The operators that need all their arguments known; the same as the server's.
import { Mismatch, add, compare, divide, mul, number, parse, power, rounded, sub, toWire } from "./exact.js";
import { quoted } from "./said.js";

const MOST_PLACES = 12;
const MANY = 64;
const DAY = 86400000;
const ISO = /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/;

const isInt = (value) => typeof value === "bigint" || (typeof value === "number" && Number.isInteger(value));
const isObject = (value) => typeof value === "object" && value !== null;

export function text(value) {
  if (typeof value !== "string") throw new Mismatch(`${quoted(value)} is not a string`);
  return value.normalize("NFC");
}

function truth(value) {
  if (typeof value !== "boolean") throw new Mismatch(`${quoted(value)} is neither true nor false`);
  return value;
}

export function same(left, right) {
  if (isObject(left) || isObject(right)) throw new Mismatch("lists and objects are not compared");
  if (typeof left === "string" && typeof right === "string") return text(left) === text(right);
  if (isInt(left) && isInt(right)) return BigInt(left) === BigInt(right);
  return typeof left === typeof right && left === right;
}

function within(value, items) {
  if (!Array.isArray(items)) throw new Mismatch(`${quoted(items)} is not a list`);
  if (items.some((item) => item !== null && same(value, item))) return true;
  return items.includes(null) ? null : false;
}

// By code point, not by UTF-16 unit.
function byPoint(one, two) {
  const [a, b] = [Array.from(one), Array.from(two)];
  for (let at = 0; at < Math.min(a.length, b.length); at += 1) {
    const step = a[at].codePointAt(0) - b[at].codePointAt(0);
    if (step) return Math.sign(step);
  }
  return Math.sign(a.length - b.length);
}

function order(left, right) {
  const [first, second] = [parse(left), parse(right)];
  if (first && second) return compare(first, second);
  if (first || second) throw new Mismatch(`${quoted(left)} and ${quoted(right)} are not of one kind`);
  return byPoint(text(left), text(right));
}

const arithmetic = (work) => (...values) => toWire(values.slice(1).reduce((sum, value) => work(sum, number(value)), number(values[0])));

function places(value) {
  if (!isInt(value) || value < 0 || value > MOST_PLACES) throw new Mismatch(`${quoted(value)} is not a number of places from 0 to 12`);
  return Number(value);
}

function divided(top, bottom, digits, how = "half_up") {
  if (!["half_up", "up", "down"].includes(how)) throw new Mismatch(`${quoted(how)} is no way of rounding`);
  if (number(bottom).n === 0n) throw new Mismatch("division by zero");
  return toWire(rounded(divide(number(top), number(bottom)), places(digits), how));
}

const powered = (base, exponent, digits) => toWire(power(number(base), number(exponent), places(digits)));

const extreme = (sign) => (...values) => {
  const items = values.length > 1 ? values : Array.isArray(values[0]) ? values[0] : [values[0]];
  if (!items.length || items.includes(null)) return null;
  const found = items.map(number);
  return toWire(found.reduce((best, one) => (sign * compare(one, best) > 0 ? one : best)));
};

const lower = (value) => value.replace(/[A-Z]/g, (letter) => String.fromCharCode(letter.charCodeAt(0) + 32));

export function day(value) {
  const found = typeof value === "string" && ISO.exec(value);
  const wrong = () => new Mismatch(`${quoted(value)} is not a date`);
  if (!found || Number(found[1]) < 1) throw wrong();
  const made = new Date(0);
  made.setUTCFullYear(Number(found[1]), Number(found[2]) - 1, Number(found[3]));
  if (made.toISOString().slice(0, 10) !== value) throw wrong();
  return made;
}

function dateAdd(value, days) {
  if (!isInt(days)) throw new Mismatch(`${quoted(days)} is not a whole number of days`);
  const made = new Date(day(value).getTime() + Number(days) * DAY);
  if (Number.isNaN(made.getTime()) || made.getUTCFullYear() > 9999 || made.getUTCFullYear() < 1) throw new Mismatch("no day of the calendar");
  return made.toISOString().slice(0, 10);
}

function joined(...values) {
  return values.map((value) => String(typeof value === "string" ? value : toWire(number(value))).normalize("NFC")).join("");
}

export const STRICT = {
  not: [1, 1, (a) => !truth(a)],
  eq: [2, 2, same],
  ne: [2, 2, (a, b) => !same(a, b)],
  in: [2, 2, within],
  lt: [2, 2, (a, b) => order(a, b) < 0],
  le: [2, 2, (a, b) => order(a, b) <= 0],
  gt: [2, 2, (a, b) => order(a, b) > 0],
  ge: [2, 2, (a, b) => order(a, b) >= 0],
  between: [3, 3, (a, b, c) => order(a, b) >= 0 && order(a, c) <= 0],
  add: [2, MANY, arithmetic(add)],
  sub: [2, 2, arithmetic(sub)],
  mul: [2, MANY, arithmetic(mul)],
  div: [3, 4, divided],
  power: [3, 3, powered],
  min: [1, MANY, extreme(-1)],
  max: [1, MANY, extreme(1)],
  len: [1, 1, (value) => (Array.isArray(value) ? value.length : Array.from(text(value)).length)],
  starts: [2, 2, (a, b) => text(a).startsWith(text(b))],
  contains: [2, 2, (a, b) => lower(text(a)).includes(lower(text(b)))],
  date_add: [2, 2, dateAdd],
  date_diff: [2, 2, (a, b) => Math.round((day(a) - day(b)) / DAY)],
  concat: [1, MANY, joined],
};
