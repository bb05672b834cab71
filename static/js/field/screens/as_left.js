// As found, as left: what was found how, and whether it stands so again.
import { html, useState } from "../core/ui.js";
import { useRecord } from "../core/use_record.js";
import { Choice, Key, Row } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

const WHAT = ["Thermostat", "Lights", "Water", "Breaker", "Cover", "Gate", "Door", "Oven"];

export default function AsLeft({ app, visit, params }) {
  visit.version.value;
  const stop = params.stop ?? visit.stops().findLast(([, one]) => one.opened_at)?.[0];
  const back = params.stop ? `/v/${visit.id}/s/${params.stop}` : `/v/${visit.id}`;
  const [what, setWhat] = useState(null);
  const { rec: made, record, save, forget } = useRecord(app, visit, "as_left", { stop, what });
  const same = () => app.saving(async () => {
    await visit.set(made, { left: record.found ?? null, put_back: true });
    app.undo("Put back as found.", () => visit.set(made, { put_back: false }));
    app.back(back);
  });
  return html`
    <${Screen} app=${app} visit=${visit} title="As found, as left" over=${visit.rec(stop)?.name ?? ""} back=${back}
      actions=${made ? html`<${Key} label="Left as found" look="main" onTap=${same} />` : html`<${Key} label="Done" look="main" onTap=${() => app.back(back)} />`}>
      ${visit.of("as_left").map(([id, one]) => html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/r/${id}`)} title=${one.what ?? "Something"}
        note=${`found ${one.found ?? "?"}, left ${one.left ?? "?"}`} mark=${one.put_back ? "as found" : "not put back"} look=${one.put_back ? "done" : "warn"} />`)}
      <${Choice} legend="What" value=${what} options=${WHAT.map((one) => [one, one])} onPick=${(one) => { setWhat(one); forget(); }} />
      <${TextField} label="Or something else" value="" max=${80} focused=${app.prefs.value.line === "yes"} onSave=${(text) => text && setWhat(text)} />
      ${what && html`
        <${TextField} key=${`found ${what}`} label=${`${what}: found`} value=${record.found} max=${120} onSave=${(found) => save({ found })} />
        ${made && html`<${TextField} label="Left otherwise" value=${record.left} max=${120} onSave=${(left) => save({ left, put_back: false })} />`}`}
    <//>`;
}
