// Brings one input to the form the rules read, or says which field is wrong.
import { compare, fromAny, parse } from "./exact.js";
import { quoted } from "./said.js";
import { UnknownUnit, converted } from "./units.js";

const UNKNOWN = new Set(["unknown", "not_known", "could_not_see", "not_seen", ""]);
const [FIRST_YEAR, LAST_YEAR, MOST_THINGS] = [1600, 2100, 200];
const SLOTS = ["hot", "neutral", "ground"];
const SIZES = new Set(["18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0", "250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000"]);
const NAUGHTS = { 0: "1/0", "00": "2/0", "000": "3/0", "0000": "4/0" };
const MATERIALS = {
  cu: "cu", copper: "cu", tinned_copper: "cu",
  al: "al", aluminium: "al", aluminum: "al",
  cca: "cca", copper_clad_al: "cca", copper_clad_aluminium: "cca", copper_clad_aluminum: "cca", "copper-clad": "cca",
};

// The message is for the form, `told` in the words of the server's record of it.
export class BadInput extends Error {
  constructor(spec, message, told = message) {
    super(`${spec.label}: ${message}`);
    this.field = spec.name;
    this.told = `${spec.name}: ${told}`;
  }
}

const wrong = (spec, value, what) => new BadInput(spec, what, `${quoted(value)} is ${what}`);

// The value in the rules' form; null for unknown. Throws BadInput.
export function normal(spec, value) {
  if (value === null || value === undefined) return null;
  if (typeof value === "string" && UNKNOWN.has(value.trim()) && spec.kind !== "said") return null;
  return KINDS[spec.kind](spec, value);
}

const isInt = (value) => typeof value === "bigint" || (typeof value === "number" && Number.isInteger(value));
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
// A list is no word: String([false]) would pass for one.
const said = (value) => {
  if (typeof value === "object") return "[a list or a set]";
  return typeof value === "boolean" ? (value ? "True" : "False") : String(value);
};

function withUnit(spec, value) {
  if (typeof value !== "string" || !spec.unit) return null;
  try {
    return converted(value, spec.unit);
  } catch (error) {
    if (!(error instanceof UnknownUnit)) throw error;
    throw new BadInput(spec, error.message);
  }
}

function amount(spec, value) {
  const wire = fromAny(value) ?? withUnit(spec, value);
  if (wire === null) throw wrong(spec, value, "not a number");
  const [found, low, high] = [parse(wire), parse(spec.low), parse(spec.high)];
  const unit = spec.unit ? ` ${spec.unit}` : "";
  if (low && compare(found, low) < 0) throw new BadInput(spec, `${wire}${unit} is below ${spec.low}`);
  if (high && compare(found, high) > 0) throw new BadInput(spec, `${wire}${unit} is above ${spec.high}`);
  return wire;
}

function tally(spec, value) {
  if (Array.isArray(value)) return value.length;
  const wire = amount(spec, value);
  if (!isInt(wire)) throw wrong(spec, value, "not a whole number");
  return wire;
}

function flag(spec, value) {
  if (typeof value === "boolean") return value;
  const text = said(value).trim().toLowerCase();
  if (["yes", "true"].includes(text)) return true;
  if (["no", "false"].includes(text)) return false;
  throw wrong(spec, value, "neither yes nor no");
}

function choice(spec, value) {
  let wanted = value;
  if (typeof value === "boolean") {
    const pair = value ? ["on", "yes"] : ["off", "no"];
    wanted = pair.find((word) => spec.choices.includes(word)) ?? pair[0];
  }
  const text = said(wanted).trim().toLowerCase();
  const found = spec.choices.find((one) => one.toLowerCase() === text);
  if (found === undefined) throw wrong(spec, wanted, `none of ${spec.choices.join(", ")}`);
  return found;
}

function word(spec, value) {
  if (typeof value === "object" || typeof value === "boolean") throw wrong(spec, value, "not a word");
  return said(value).trim();
}

function size(spec, value) {
  const bare = said(value).replace(/\s*(awg|kcmil|mcm|#)\s*/gi, "").trim();
  const text = NAUGHTS[bare] ?? bare;
  if (typeof value === "boolean" || !SIZES.has(text)) throw wrong(spec, value, "no wire size");
  return text;
}

function material(spec, value) {
  const found = MATERIALS[said(value).trim().toLowerCase()];
  if (!found) throw wrong(spec, value, "no conductor material");
  return found;
}

function year(spec, value) {
  const wire = fromAny(value);
  if (!isInt(wire) || wire < FIRST_YEAR || wire > LAST_YEAR) throw wrong(spec, value, "no year");
  return wire;
}

function date(spec, value) {
  const text = String(value);
  if (/^[0-9]{4}$/.test(text)) return text;
  const made = new Date(`${text}T00:00:00Z`);
  if (!/^[0-9]{4}-[0-9]{2}-[0-9]{2}$/.test(text) || Number.isNaN(made.getTime()) || made.toISOString().slice(0, 10) !== text) throw wrong(spec, value, "no date");
  return text;
}

function list(spec, value) {
  if (Array.isArray(value)) return value.map(exactInside);
  // A bare count stands for so many things of which nothing more is known.
  const count = typeof value === "boolean" ? null : fromAny(value);
  if (spec.low !== null && isInt(count) && count >= 0 && count <= MOST_THINGS) return Array.from({ length: Number(count) }, () => ({}));
  if (value === "none") return [];
  throw wrong(spec, value, "not a list");
}

function object(spec, value) {
  if (!isObject(value)) throw wrong(spec, value, "not a set of named values");
  return exactInside(value);
}

const slots = (spec, value) =>
  object(spec, Array.isArray(value) && value.length === SLOTS.length ? Object.fromEntries(SLOTS.map((name, at) => [name, value[at]])) : value);

function exactInside(value) {
  if (Array.isArray(value)) return value.map(exactInside);
  if (isObject(value)) return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, exactInside(inner)]));
  return typeof value === "number" && !Number.isInteger(value) ? fromAny(value) : value;
}

const KINDS = { number: amount, count: tally, flag, choice, word, said: word, size, material, year, date, list, object, slots };
