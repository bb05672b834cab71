// The arrival card: what is known stands there already, the rest is a tap each.
import { html } from "../core/ui.js";
import { formOf, wordOf } from "../core/words.js";
import { Choice, Choices, Key, Stepper } from "../parts/keys.js";
import { Line } from "../parts/line.js";
import { Field } from "../parts/field.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { Screen } from "../parts/screen.js";

const KEYS = ["weather_now", "rain_three_days", "ground", "occupied", "front_faces"];
const YEAR = ["built_year", "built_year_to", "built_source", "county", "method_note"];
const AS = { CLIENT: "client", AGENT: "agent", SELLER: "seller" };

export default function Arrival({ app, visit }) {
  visit.version.value;
  const about = visit.about();
  const save = (fields) => app.saving(() => visit.set(visit.id, { ...(about.arrived_at ? {} : { arrived_at: app.instant() }), ...fields }));
  const stop = visit.of("stop", { stop_kind: "arrival" })[0]?.[0];
  const people = (visit.pack.visit.people ?? []).map((one) => ({ name: one.name, as: AS[one.part] ?? "other" }));
  const here = (about.attended ?? []).map((one) => one.name);
  const attend = (names) => save({ attended: people.filter((one) => names.includes(one.name)) });
  return html`
    <${Screen} app=${app} visit=${visit} title="Arrival" over=${visit.pack.visit.property.street} back=${`/v/${visit.id}`}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${stop} label="Photo of the front" />
        <${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}`)} />`}>
      <${Line} app=${app} visit=${visit} kind="visit" fields=${[...KEYS, "temp_out_f", "temp_in_f", ...YEAR]} onSave=${save} onEmpty=${() => app.back(`/v/${visit.id}`)} />
      ${KEYS.slice(0, 3).map((field) => html`<${Choice} key=${field} legend=${visit.book.labels.kinds.visit.fields[field].label} value=${about[field]}
        options=${formOf(visit.book, "visit", field).options.map((one) => [one, wordOf(visit.book, one)])} onPick=${(value) => save({ [field]: value })} />`)}
      <${Stepper} label="Outside, °F" value=${about.temp_out_f ?? null} min=${-60} max=${130} onChange=${(value) => save({ temp_out_f: value })} />
      <${Stepper} label="Inside, °F" value=${about.temp_in_f ?? null} min=${-20} max=${120} onChange=${(value) => save({ temp_in_f: value })} />
      <${Choices} legend="Who is here" options=${people.map((one) => [one.name, `${one.name}, ${one.as}`])} values=${here} onPick=${attend} />
      ${KEYS.slice(3).map((field) => html`<${Choice} key=${field} legend=${field === "front_faces" ? "The front, with the main door, faces" : visit.book.labels.kinds.visit.fields[field].label} value=${about[field]}
        options=${formOf(visit.book, "visit", field).options.map((one) => [one, wordOf(visit.book, one)])} onPick=${(value) => save({ [field]: value })} />`)}
      ${YEAR.map((field) => html`<${Field} key=${field} app=${app} visit=${visit} kind="visit" field=${field} value=${about[field]} onSave=${(value) => save({ [field]: value })} />`)}
    <//>`;
}
