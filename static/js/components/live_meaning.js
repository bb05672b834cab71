// While a form of an object is filled in, what its values mean stands over the button,
// where a thumb that scrolls still sees it.
// The device's own evaluator answers; what counts is the server's answer after saving.
import { all, make, one } from "../lib/dom.js";
import { line, speaking } from "../rules/live.js";
import { Tables } from "../rules/tables.js";

const QUICK = 30; // ms after the last key
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
  const speak = speaking(package_, data);
  return () => {
    const told = speak(valuesOf(form)).map((one_) => line(one_, tables)).filter(Boolean);
    const grave = told.filter((one_) => one_.grave);
    const place = one("[data-live]", form);
    if (place) place.dataset.weighs = grave.length ? "yes" : "no";
    const said = grave.length ? grave : told.filter((one_) => !one_.needs);
    return [...said.map((one_) => one_.text), needed(told)].filter(Boolean).join(" ");
  };
}

function needed(told) {
  const labels = [...new Set(told.flatMap((one_) => one_.needs ?? []))].slice(0, 3);
  return labels.length ? `Needs ${labels.join(", ")}.` : "";
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
