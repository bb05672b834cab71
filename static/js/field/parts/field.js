// One field of a record, drawn by the form that the vocabulary gives it.
import { html, useRef } from "../core/ui.js";
import { formOf, hintOf, labelOf, titleOf, wordOf, first, clockOf } from "../core/words.js";
import { Choice, Choices } from "./keys.js";
import { NumberField } from "./number.js";
import { TextField } from "./text.js";

const MANY = 14; // more than this and a list to open is quicker than keys

export function Field({ app, visit, kind, field, value, onSave, label }) {
  const { book } = visit;
  const form = formOf(book, kind, field);
  if (!form) return null;
  const shown = { label: first(label ?? labelOf(book, kind, field)), hint: hintOf(book, kind, field) };
  const options = (list) => list.map((one) => [one, wordOf(book, one)]);
  switch (form.form) {
    case "choice":
      return form.options.length > MANY
        ? html`<${Listed} ...${shown} options=${options(form.options)} value=${value} onSave=${onSave} />`
        : html`<${Choice} legend=${shown.label} options=${options(form.options)} value=${value} onPick=${onSave} />`;
    case "choices":
      return html`<${Choices} legend=${shown.label} options=${options(form.options)} values=${value} onPick=${onSave} />`;
    case "flag":
      return html`<${Choice} legend=${shown.label} options=${[[true, "Yes"], [false, "No"]]} value=${value} onPick=${onSave} />`;
    case "int":
    case "decimal":
      return html`<${NumberField} ...${shown} form=${form} value=${value} onSave=${onSave} />`;
    case "rec":
      return html`<${Listed} ...${shown} options=${named(visit, form.kind)} value=${value} onSave=${onSave} />`;
    case "recs":
      return html`<${Choices} legend=${shown.label} options=${named(visit, form.kind)} values=${value} onPick=${onSave} />`;
    case "instant":
      return html`<${Instant} app=${app} ...${shown} value=${value} onSave=${onSave} />`;
    case "list":
      return html`<${TextField} ...${shown} hint="Several, with a space or comma between" value=${(value ?? []).join(", ")}
        onSave=${(text) => onSave(text === null ? null : text.split(/[,;\s]+/).filter(Boolean))} />`;
    case "text":
    case "line":
      if (field === "instrument") return html`<${Listed} ...${shown} options=${instruments(book)} value=${value} onSave=${onSave} />`;
      return html`<${TextField} ...${shown} value=${value} lines=${form.form === "text" ? 3 : 1} max=${form.max} onSave=${onSave}
        plain=${["serial", "model"].includes(field)} />`;
    default:
      return null;
  }
}

let lists = 0;
function Listed({ label, options, value, onSave }) {
  const id = useRef(null);
  id.current ??= `list-${(lists += 1)}`;
  return html`
    <div class="text"><label class="text__label" for=${id.current}>${label}</label>
      <select class="text__box" id=${id.current} value=${value ?? ""} onChange=${(event) => onSave(event.target.value || null)}>
        <option value="">–</option>
        ${options.map(([one, words]) => html`<option key=${one} value=${one}>${first(String(words))}</option>`)}
      </select>
    </div>`;
}

function Instant({ app, label, value, onSave }) {
  return html`
    <div class="text"><span class="text__label">${label}</span>
      <span class="text__unit"><span>${value ? clockOf(value) : "not yet"}</span>
        <button type="button" class="key key--small" aria-label=${`${label}: now`} onClick=${() => onSave(app.instant())}>Now</button></span>
    </div>`;
}

const instruments = (book) => (book.instruments ?? []).map((one) =>
  [one.key, [one.name, one.serial, one.expired && "calibration run out"].filter(Boolean).join(", ")]);

function named(visit, kind) {
  return visit.of(kind).map(([id, record]) => [id, record.name ?? record.place ?? record.label
    ?? `${titleOf(visit.book, kind)} ${record.number ?? ""}`.trim()]);
}
