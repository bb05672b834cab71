// One item of a stop. Things that are asked get keys, each a record of its own; objects of
// the house get a form, as many as there are.
import { html, useState } from "../core/ui.js";
import { fieldsOf, first, recordsOf } from "../core/words.js";
import { briefOf } from "../core/brief.js";
import { Asked } from "../parts/asked.js";
import { ELSEWHERE } from "../parts/delegates.js";
import { Form } from "../parts/form.js";
import { Key, Row } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";

export default function Item({ app, visit, params }) {
  visit.version.value;
  const item = visit.book.items.items[params.item];
  const stop = visit.rec(params.stop);
  const back = `/v/${visit.id}/s/${params.stop}`;
  if (!item || !stop) return html`<${Screen} app=${app} visit=${visit} title="Not here" back=${back}><p>This item is not in the firm's book.</p><//>`;
  const Own = ELSEWHERE[item.record];
  if (Own) return html`<${Own} app=${app} visit=${visit} params=${params} item=${item} />`;
  const given = { app, visit, stop: params.stop, name: params.item, item };
  const about = recordsOf(visit, params.stop, params.item).at(-1)?.[0];
  return html`
    <${Screen} app=${app} visit=${visit} title=${first(item.label)} over=${stop.name} back=${back}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${params.stop} about=${about} />
        <${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      ${item.record === "observation" ? (item.ask ? html`<${Asked} ...${given} />` : html`<${Seen} ...${given} />`)
        : item.record === "visit" || item.record === "stop" ? html`<${Fixed} ...${given} />` : html`<${Objects} ...${given} />`}
      ${about && html`<${ProposalLines} app=${app} visit=${visit} subject=${about} stop=${params.stop} />`}
    <//>`;
}

// Something seen, in words and with an answer where one fits.
function Seen({ app, visit, stop, name, item }) {
  const of = item.item || name;
  const [turn, setTurn] = useState(0);
  const held = visit.at(stop, "observation").filter(([, record]) => record.item === of && !record.what);
  return html`
    ${held.map(([id, record]) => html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/r/${id}`)} ...${briefOf(visit, record)} />`)}
    <${Form} key=${turn} app=${app} visit=${visit} kind="observation" fields=${["text", "answer", "how_known"]}
      preset=${{ stop, item: of }} />
    ${held.length > 0 && html`<${Key} look="quiet" label="Another one" onTap=${() => setTurn(turn + 1)} />`}`;
}

function Fixed({ app, visit, stop, item }) {
  const rec = item.record === "visit" ? visit.id : stop;
  return html`<${Form} app=${app} visit=${visit} kind=${item.record} rec=${rec} fields=${item.fields ?? []} />`;
}

// Objects of the house: those that are there, and one more.
function Objects({ app, visit, stop, name, item }) {
  const held = recordsOf(visit, stop, name);
  // The form stays the same form while its record comes into being with the first answer.
  const [turn, setTurn] = useState(held.length ? 0 : 1);
  const fields = item.fields?.length ? item.fields : fieldsOf(visit.book, item.record);
  // A note on age reaches the stop; everything else stands at it.
  const preset = item.record === "age_note" ? { reach: stop } : { stop, ...(item.preset ?? {}) };
  return html`
    ${held.map(([id, record]) => html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/r/${id}`)} ...${briefOf(visit, record)} />`)}
    ${Object.keys(item.preset ?? {}).length > 0 && !held.length
      && html`<${Key} label=${item.label} onTap=${() => app.saving(() => visit.make(item.record, preset))} />`}
    ${turn > 0 && html`<${Form} key=${turn} app=${app} visit=${visit} kind=${item.record} fields=${fields} preset=${preset} line=${{ onEmpty: () => app.back(`/v/${visit.id}/s/${stop}`) }} />`}
    ${held.length > 0 && html`<${Key} look="quiet" label="Another one" onTap=${() => setTurn(turn + 1)} />`}`;
}
