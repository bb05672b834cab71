// Any one record: its fields by the vocabulary, what it means, and taking it off with undo.
import { html } from "../core/ui.js";
import { fieldsOf, titleOf } from "../core/words.js";
import { briefOf } from "../core/brief.js";
import { mayTakeOff, recordedBy } from "../core/recorders.js";
import { Form } from "../parts/form.js";
import { Key } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { PhotoStrip } from "../parts/photo_strip.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";

const SET_BY_PLACE = new Set(["stop", "item", "what", "about", "photo", "enclosure", "on_site"]);

export default function OneRecord({ app, visit, params }) {
  visit.version.value;
  const record = visit.rec(params.rec);
  const up = record?.stop ? `/v/${visit.id}/s/${record.stop}` : `/v/${visit.id}`;
  if (!record) return html`<${Screen} app=${app} visit=${visit} title="Taken off" back=${up}><p>This entry was taken off. Undo brings it back while it is offered.</p><//>`;
  const { title } = briefOf(visit, record);
  const off = () => app.saving(async () => {
    await visit.remove(params.rec);
    app.undo(`Taken off: ${title}.`, () => visit.restore(params.rec));
    app.back(up);
  });
  return html`
    <${Screen} app=${app} visit=${visit} title=${title} over=${titleOf(visit.book, record.kind)} back=${up}
      actions=${html`
        ${mayTakeOff(visit, params.rec) && html`<${Key} label="Take it off" look="quiet" onTap=${off} />`}
        <${PhotoKeys} app=${app} visit=${visit} stop=${record.stop} about=${params.rec} />
        <${Key} label="Done" name="done" look="main" onTap=${() => app.back(up)} />`}>
      ${recordedBy(visit, params.rec) && html`<p>${recordedBy(visit, params.rec)}</p>`}
      <${Form} app=${app} visit=${visit} kind=${record.kind} rec=${params.rec}
        fields=${fieldsOf(visit.book, record.kind).filter((name) => !SET_BY_PLACE.has(name))} />
      <${PhotoStrip} app=${app} visit=${visit} about=${params.rec} />
      <${ProposalLines} app=${app} visit=${visit} subject=${params.rec} stop=${record.stop} />
    <//>`;
}
