// The enclosure itself, in the order in which one meets it.
import { html } from "../core/ui.js";
import { Form } from "../parts/form.js";
import { Line } from "../parts/line.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

const GROUPS = [
  ["What and where", ["name", "enclosure_kind", "location", "role", "fed_from", "fed_by_space", "service_kind", "volts", "phases", "spaces", "columns"]],
  ["Cover and room", ["cover_removed", "cover_reason", "cover", "openings_unfilled", "labels", "working_width_in", "working_depth_in", "working_height_in", "top_device_height_in"]],
  ["Main and conductors", ["main_kind", "main_amps", "bus_amps", "meter_base_amps", "conductor_size", "conductor_material", "conductor_parallel", "conductor_how", "antioxidant", "terminal_marking", "terminal_heat"]],
  ["Neutral and ground", ["neutral_and_ground", "feeder_wires", "feeder_ground", "neutral_bar_doubled", "ground_bar_doubled", "ground_bar_most_per_screw", "ground_bar_label_allows", "gec_size", "gec_material", "electrode_bond"]],
  ["Label", ["made_year", "plate_text"]],
];

export default function PanelFacts({ app, visit, params }) {
  visit.version.value;
  const back = `/v/${visit.id}/p/${params.enclosure}`;
  return html`
    <${Screen} app=${app} visit=${visit} title="The enclosure" over=${visit.rec(params.enclosure)?.name ?? ""} back=${back}
      actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      <${Line} app=${app} visit=${visit} kind="enclosure" fields=${GROUPS.flatMap(([, fields]) => fields)} onEmpty=${() => app.back(back)}
        onSave=${(fields) => app.saving(() => visit.set(params.enclosure, fields))} />
      ${GROUPS.map(([title, fields]) => html`<section class="part" key=${title}><h2 class="part__title">${title}</h2>
        <${Form} app=${app} visit=${visit} kind="enclosure" rec=${params.enclosure} fields=${fields} /></section>`)}
    <//>`;
}
