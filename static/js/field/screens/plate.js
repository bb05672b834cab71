// A data plate: the photo first, its words now or later.
import { html, useState } from "../core/ui.js";
import { briefOf } from "../core/brief.js";
import { Form } from "../parts/form.js";
import { Choice, Key, Row } from "../parts/keys.js";
import { PhotoStrip } from "../parts/photo_strip.js";
import { Shutter } from "../parts/photo_keys.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";

export default function Plate({ app, visit, params }) {
  visit.version.value;
  const [rec, setRec] = useState(null);
  const [of, setOf] = useState(null);
  const back = `/v/${visit.id}/s/${params.stop}`;
  const begin = (key) => app.saving(async () => {
    setOf(key);
    if (key) setRec(await visit.make("plate", { stop: params.stop, item: key }));
  });
  const later = () => app.saving(async () => {
    await visit.set(rec, { type_later: true });
    app.say("Kept for the desk: type it later.");
    app.back(back);
  });
  const held = visit.at(params.stop, "plate").filter(([id]) => id !== rec);
  return html`
    <${Screen} app=${app} visit=${visit} title="Data plate" over=${visit.rec(params.stop)?.name} back=${back}
      actions=${rec ? html`<${Shutter} app=${app} visit=${visit} stop=${params.stop} about=${rec} use="plate" label="Photo of it" look="main" camera />
          <${Key} label="Type later" onTap=${later} /><${Key} label="Done" name="done" onTap=${() => app.back(back)} />`
        : html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      ${held.map(([id, one]) => html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/r/${id}`)} ...${briefOf(visit, one)} mark=${one.type_later ? "type later" : ""} />`)}
      ${!rec && html`<${Choice} legend="The plate of" value=${of} options=${Object.entries(visit.book.items.plates)} onPick=${begin} />`}
      ${rec && html`<${Form} app=${app} visit=${visit} kind="plate" rec=${rec} fields=${["maker", "model", "serial", "made_year", "text"]} line=${{ onEmpty: () => app.back(back) }} />
        <${PhotoStrip} app=${app} visit=${visit} about=${rec} />
        <${ProposalLines} app=${app} visit=${visit} subject=${rec} stop=${params.stop} />`}
    <//>`;
}
