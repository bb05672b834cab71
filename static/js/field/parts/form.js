// Several fields of one record. The record comes into being with the first answer.
import { html, useRef } from "../core/ui.js";
import { Field } from "./field.js";

const OWN = new Set(["stop", "on_site", "kind"]);

// `rec` is null for a record that is not there yet; `preset` goes with its first answer, and
// `fixed` is the id it gets where that is known beforehand.
export function Form({ app, visit, kind, rec = null, fixed, fields, preset = {}, onMade = () => {}, labels = {} }) {
  visit.version.value;
  const made = useRef(rec);
  if (rec) made.current = rec;
  const record = (made.current && visit.rec(made.current)) ?? {};
  const turn = useRef(Promise.resolve());
  // One answer after the other: two quick ones must not make two records.
  const save = (field, value) => {
    turn.current = turn.current.then(() => app.saving(async () => {
      if (made.current) return visit.set(made.current, { [field]: value });
      if (value === null) return null;
      made.current = await visit.make(kind, { ...preset, [field]: value }, [], fixed);
      onMade(made.current);
      return made.current;
    }));
    return turn.current;
  };
  return html`
    <div class="fields">
      ${fields.filter((name) => !OWN.has(name) && !(name in preset)).map((name) => html`
        <${Field} key=${name} app=${app} visit=${visit} kind=${kind} field=${name} label=${labels[name]}
          value=${record[name]} onSave=${(value) => save(name, value)} />`)}
    </div>`;
}
