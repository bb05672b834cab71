// While a form of an object is filled in, what its values mean stands over the button,
// where a thumb that scrolls still sees it.
// The device's own evaluator answers; what counts is the server's answer after saving.
import { all, make, one } from "../lib/dom.js";
import { span } from "../rules/era.js";
import { prepare, run } from "../rules/engine.js";
import { GATHERED } from "../rules/gathered.js";
import { Tables } from "../rules/tables.js";

const QUIET = new Set(["ok", "informational"]);
const QUICK = 30; // ms after the last key
const OF_THE_VISIT = {
  visit_year: (data) => data.day.slice(0, 4),
  visit_date: (data) => data.day,
  plumbing_family: (data) => data.plumbing,
  mechanical_family: (data) => data.mechanical,
  temp_out_f: (data) => data.outside,
};

export async function startLiveMeaning(form = one("form[data-live-meaning]")) {
  if (!form) return;
  const place = make("p", { class: "meaning", role: "status", "data-live": true });
  one(".reach", form).prepend(place);
  const answer = await fetch(form.dataset.rules, { headers: { Accept: "application/json" } });
  if (!answer.ok) return;
  const speak = meaningOf(await answer.json(), form);
  let waits = 0;
  const show = () => {
    clearTimeout(waits);
    waits = setTimeout(() => {
      const text = speak();
      if (place.textContent !== text) place.textContent = text;
      place.classList.toggle("meaning--weighs", place.dataset.weighs === "yes");
    }, QUICK);
  };
  form.addEventListener("input", show);
  form.addEventListener("change", show);
  show();
}

// A function that says what the form's values mean just now.
export function meaningOf(package_, form) {
  const tables = new Tables(package_.tables);
  const data = form.dataset;
  const speaking = GATHERED[data.record] ? gathered(package_, data) : bound(package_, data);
  return () => {
    const told = speaking(valuesOf(form)).map((one_) => line(one_, tables)).filter(Boolean);
    const grave = told.filter((one_) => one_.grave);
    const place = one("[data-live]", form);
    if (place) place.dataset.weighs = grave.length ? "yes" : "no";
    const said = grave.length ? grave : told.filter((one_) => !one_.needs);
    return [...said.map((one_) => one_.text), needed(told)].filter(Boolean).join(" ");
  };
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

function needed(told) {
  const labels = [...new Set(told.flatMap((one_) => one_.needs ?? []))].slice(0, 3);
  return labels.length ? `Needs ${labels.join(", ")}.` : "";
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

export function valuesOf(form) {
  const values = {};
  for (const field of all("input[name], select[name], textarea[name]", form)) {
    if (["radio", "checkbox"].includes(field.type) && !field.checked) continue;
    const text = field.value.trim();
    if (!text) continue;
    const several = field.type === "checkbox" && all(`[name="${field.name}"]`, form).length > 1;
    values[field.name] = several ? [...(values[field.name] ?? []), text] : text;
  }
  return values;
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

function line({ rule, given, asks, dates, dated }, tables) {
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
  return { text, grave: !QUIET.has(found.outcome) || Boolean(found.consequence) };
}

function lacking(rule, found, asks) {
  const wanted = found.needs.filter((name) => asks.includes(name));
  const needs = wanted.map((name) => rule.inputs.find((spec) => spec.name === name).label);
  return needs.length ? { needs, grave: false } : null;
}
