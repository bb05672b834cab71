// While a form of an object is filled in, what its values mean stands over the button,
// where a thumb that scrolls still sees it.
// The device's own evaluator answers; what counts is the server's answer after saving.
import { all, make, one } from "../lib/dom.js";
import { span } from "../rules/era.js";
import { prepare, run } from "../rules/engine.js";
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
  const rules = Object.values(package_.rules).filter((rule) => rule.binds?.record === form.dataset.record).map(prepare);
  const dates = datesOf(form.dataset);
  return () => {
    const values = valuesOf(form);
    const told = rules.map((rule) => line(rule, values, dates, tables, form.dataset)).filter(Boolean);
    const grave = told.filter((one_) => one_.grave);
    const place = one("[data-live]", form);
    if (place) place.dataset.weighs = grave.length ? "yes" : "no";
    return (grave.length ? grave : told).map((one_) => one_.text).join(" ");
  };
}

function datesOf(data) {
  return { built: data.builtFrom ? span(data.builtFrom, data.builtTo || data.builtFrom) : null, adoption: [], lag: null };
}

export function valuesOf(form) {
  const values = {};
  for (const field of all("input[name], select[name], textarea[name]", form)) {
    if (["radio", "checkbox"].includes(field.type) && !field.checked) continue;
    const text = field.value.trim();
    if (text) values[field.name] = text;
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
    given[name] = list && value !== null ? value.split(",").map((part) => part.trim()) : value;
  }
  return given;
}

const capital = (text) => `${text[0].toUpperCase()}${text.slice(1)}`;

function line(rule, values, dates, tables, data) {
  const fits = Object.entries(rule.binds.where).every(([name, among]) => among.includes(values[name]));
  if (!fits || values.how_known === "estimated") return null;
  let found;
  try {
    found = run(rule, inputsOf(rule, values, data), dates, tables);
  } catch (error) {
    return error.field ? { text: `${error.message}.`, grave: true } : null;
  }
  // Two values that cannot both be so are named at once, before they are saved.
  if (found.confirm.length) return { text: capital(found.why), grave: true };
  if (found.outcome === "undetermined") return null;
  const why = found.why.split(";")[0];
  const text = `${capital(why)}.`;
  return { text, grave: !QUIET.has(found.outcome) || Boolean(found.consequence) };
}
