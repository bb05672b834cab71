// What the values of one record mean just now, by the rules that read that record alone:
// those that say in their own file what they read, and a space's and a receptacle's.
import { span } from "./era.js";
import { prepare, run } from "./engine.js";
import { GATHERED } from "./gathered.js";

const QUIET = new Set(["ok", "informational"]);
const OF_THE_VISIT = {
  visit_year: (data) => data.day.slice(0, 4),
  visit_date: (data) => data.day,
  plumbing_family: (data) => data.plumbing,
  mechanical_family: (data) => data.mechanical,
  temp_out_f: (data) => data.outside,
};

// A function from values, as a form writes them, to what each rule makes of them. `data`:
// record, and of the visit: dates (JSON), day, plumbing, mechanical, outside, feeds.
export function speaking(package_, data) {
  return GATHERED[data.record] ? gathered(package_, data) : bound(package_, data);
}

// Rules that say in their own file what they read of a record.
function bound(package_, data) {
  const rules = Object.values(package_.rules).filter((rule) => rule.binds?.record === data.record).map(prepare);
  return (values) =>
    rules.filter((rule) => values.how_known !== "estimated" && fits(rule, values)).map((rule) => ({
      rule, given: inputsOf(rule, values, data), asks: asksOf(rule, values), dates: datesOf(data, rule), dated: true,
    }));
}

// Rules that are gathered by code, of a panel's space and of a receptacle.
function gathered(package_, data) {
  const ready = new Map();
  const known = (id) => {
    if (!ready.has(id)) ready.set(id, prepare(package_.rules[id]));
    return ready.get(id);
  };
  return (values) =>
    GATHERED[data.record](values, data).filter((one_) => package_.rules[one_.rule]).map((one_) => {
      const rule = known(one_.rule);
      return { ...one_, rule, dates: datesOf(data, rule), dated: false };
    });
}

const fits = (rule, values) => Object.entries(rule.binds.where).every(([name, among]) => among.includes(values[name]));

// What is worth asking for: a field of this form, once something else of the rule is typed.
function asksOf(rule, values) {
  const fields = Object.entries(rule.binds.inputs).filter(([, source]) => source.from === "field");
  if (!fields.some(([, source]) => values[source.name])) return [];
  return fields.map(([name]) => name).filter((name) => rule.binds.asks.includes(name));
}

// The property's dates and the notes on age that reach this stop, as bindings_house.dates_of.
function datesOf(data, rule) {
  const told = JSON.parse(data.dates || "{}");
  const of = (pair) => (pair ? span(pair[0] ?? pair[1], pair[1] ?? pair[0]) : null);
  const notes = told.notes ?? {};
  const reach = ["stop", `system:${rule.system}`, "house"].find((name) => name in notes);
  if (reach && notes[reach] === null) return { adoption: [], lag: null }; // two dates stand there
  const note = of(notes[reach]);
  const built = of(told.built) ?? (reach === "house" ? note : null);
  return { built, permit: of(told.permit), altered: reach === "house" ? null : note, adoption: [], lag: null };
}

function inputsOf(rule, values, data) {
  const given = {};
  for (const [name, source] of Object.entries(rule.binds.inputs)) {
    let value = source.name;
    if (source.from === "field") value = values[source.name] ?? null;
    if (source.from === "stop") value = null;
    if (source.from === "visit") value = OF_THE_VISIT[source.name](data) || null;
    if (source.words && value !== null) value = source.words[value] ?? null;
    const list = rule.inputs.find((spec) => spec.name === name).kind === "list";
    given[name] = list && typeof value === "string" ? value.split(",").map((part) => part.trim()) : value;
  }
  return given;
}

const capital = (text) => `${text[0].toUpperCase()}${text.slice(1)}`;

// {rule, text, grave} or {needs}, or null where there is nothing to say.
export function line({ rule, given, asks, dates, dated }, tables) {
  let found;
  try {
    found = run(rule, given, dates, tables);
  } catch (error) {
    return error.field ? { text: `${error.message}.`, grave: true } : null;
  }
  // Two values that cannot both be so are named at once, before they are saved.
  if (found.confirm.length) return { text: capital(found.why), grave: true };
  if (found.outcome === "undetermined") return lacking(rule, found, asks);
  // What depends on a date is the calendar's to say, not a space's value.
  if (!dated && Object.keys(found.edition ?? {}).length) return null;
  const why = found.why.split(";")[0];
  const text = `${capital(why)}.`;
  return { rule: rule.id, found, text, grave: !QUIET.has(found.outcome) || Boolean(found.consequence) };
}

function lacking(rule, found, asks) {
  const wanted = found.needs.filter((name) => asks.includes(name));
  const needs = wanted.map((name) => rule.inputs.find((spec) => spec.name === name).label);
  return needs.length ? { needs, grave: false } : null;
}
