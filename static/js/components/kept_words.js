// Half-typed text survives a phone call: kept per page and field until the server answered.
import { all, on } from "../lib/dom.js";

const FIELDS = "textarea[name], input[type=text][name]";
const SENT = "kingpost-kept-sent";
const keyOf = (form, field) => `kingpost-kept:${location.pathname}:${form.action}:${field.name}`;

function session(work) {
  try {
    return work(sessionStorage);
  } catch {
    return null; // Storage refused: the page works, only without this memory.
  }
}

// Any page that arrives by moving on proves that the server answered the last submit.
// Coming back or loading again proves nothing, so the words stay kept.
function forgetWhatWasTaken() {
  const [entry] = performance.getEntriesByType("navigation");
  if (entry && entry.type !== "navigate") return;
  session((store) => {
    for (const key of JSON.parse(store.getItem(SENT) ?? "[]")) store.removeItem(key);
    store.removeItem(SENT);
  });
}

export function startKeptWords() {
  forgetWhatWasTaken();
  for (const form of all("form[data-keep]")) {
    for (const field of all(FIELDS, form)) {
      const kept = session((store) => store.getItem(keyOf(form, field)));
      if (kept && !field.value) field.value = kept;
    }
  }
  on("input", "form[data-keep]", (event, form) => {
    const field = event.target;
    if (!field.matches(FIELDS)) return;
    session((store) => store.setItem(keyOf(form, field), field.value));
  });
  on("submit", "form[data-keep]", (_event, form) => {
    const keys = all(FIELDS, form).map((field) => keyOf(form, field));
    session((store) => store.setItem(SENT, JSON.stringify(keys)));
  });
}
