// Several fields of one record. The record comes into being with the first answer.
import { useTurns } from "../core/turns.js";
import { html, useRef, useState } from "../core/ui.js";
import { Field } from "./field.js";
import { Line } from "./line.js";

const MANY = 3; // with fewer fields a line is no quicker than keys
const OWN = new Set(["stop", "on_site", "kind"]);

// `rec` is null for a record that is not there yet; `preset` goes with its first answer, and
// `fixed` is the id it gets where that is known beforehand. `line` asks for all in one line first.
export function Form({ app, visit, kind, rec = null, fixed, fields, preset = {}, onMade = () => {}, labels = {}, line = null }) {
  visit.version.value;
  const [known] = useState(() => rec ?? app.place.take(visit, kind, preset));
  const made = useRef(known);
  if (rec) made.current = rec;
  const record = (made.current && visit.rec(made.current)) ?? {};
  const inTurn = useTurns(app);
  const save = (answers) => inTurn(async () => {
    if (made.current) return visit.set(made.current, answers);
    if (Object.values(answers).every((value) => value === null)) return null;
    made.current = await visit.make(kind, { ...preset, ...answers }, [], fixed);
    app.place.hold(kind, made.current);
    onMade(made.current);
    return made.current;
  });
  const asked = fields.filter((name) => !OWN.has(name) && !(name in preset));
  return html`
    ${line && (line.fields ?? asked).length >= MANY && html`<${Line} app=${app} visit=${visit} kind=${kind} fields=${asked} onSave=${save} ...${line} />`}
    <div class="fields">
      ${asked.map((name) => html`
        <${Field} key=${name} app=${app} visit=${visit} kind=${kind} field=${name} label=${labels[name]}
          value=${record[name]} onSave=${(value) => save({ [name]: value })} />`)}
    </div>`;
}
