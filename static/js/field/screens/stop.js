// A stop: photo first, the keys of what there is to look at, what was recorded, what it may
// mean, and what is open before we leave.
import { html, useEffect, useState } from "../core/ui.js";
import { closesAt } from "../core/ledger.js";
import { first, itemsOf, recordsOf } from "../core/words.js";
import { found as foundBy } from "../../lib/near.js";
import { Key, Row } from "../parts/keys.js";
import { Asked } from "../parts/asked.js";
import { Calm } from "../parts/calm.js";
import { MethodKeys } from "../parts/method.js";
import { OpenLines } from "../parts/open_lines.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { PhotoStrip } from "../parts/photo_strip.js";
import { ProposalLines } from "../parts/proposals.js";
import { Recorded } from "../parts/recorded.js";
import { RoomCard } from "../parts/room_card.js";
import { Screen } from "../parts/screen.js";
import { Panels } from "../parts/panels.js";
import { Place, floorBefore } from "../parts/place.js";

const USUAL = 9;

export default function Stop({ app, visit, params }) {
  visit.version.value;
  const stop = visit.rec(params.stop);
  const at = `/v/${visit.id}/s/${params.stop}`;
  useEffect(() => {
    // The time at a stop runs from its first sight; nothing else waits for this write.
    if (stop && !stop.opened_at) visit.set(params.stop, { opened_at: app.instant(), ...floorBefore(visit, params.stop) });
  }, [params.stop]);
  if (!stop) return html`<${Screen} app=${app} visit=${visit} title="Not here" back=${`/v/${visit.id}`}><p>This stop was taken off the route.</p><//>`;
  const cautions = visit.book.items.cautions[stop.stop_kind] ?? [];
  return html`
    <${Screen} app=${app} visit=${visit} title=${stop.name || "A stop without a name"} over=${visit.pack.visit.property.street} back=${`/v/${visit.id}`}
      actions=${html`
        <${Key} label="Say it" hint="something wrong" href=${app.href(`${at}/finding`)} />
        <${PhotoKeys} app=${app} visit=${visit} stop=${params.stop} look="main" />
        <${Key} label="Leave" hint="this stop" href=${app.href(`${at}/leave`)} />`}>
      ${cautions.map((words) => html`<p class="caution" key=${words}>${words}</p>`)}
      <${MethodKeys} app=${app} visit=${visit} stop=${params.stop} />
      <${Place} app=${app} visit=${visit} stop=${params.stop} record=${stop} />
      <${RoomCard} app=${app} visit=${visit} stop=${params.stop} />
      <${Panels} app=${app} visit=${visit} stop=${params.stop} />
      <${Items} app=${app} visit=${visit} stop=${params.stop} record=${stop} />
      <${Calm} visit=${visit}>${() => html`
        <${ProposalLines} app=${app} visit=${visit} stop=${params.stop} />
        <${PhotoStrip} app=${app} visit=${visit} stop=${params.stop} />
        <${Recorded} app=${app} visit=${visit} stop=${params.stop} />`}<//>
      <section class="part" aria-labelledby="open"><h2 class="part__title" id="open">Open before you leave</h2>
        <${Calm} visit=${visit}>${() => html`<${OpenLines} app=${app} visit=${visit} stop=${params.stop} leave=${new Set(closesAt(visit, params.stop).map((duty) => duty.id))} />`}<//>
        <div class="rows">
          <${Row} href=${app.href(`${at}/limit`)} title="Could not look, because" />
          <${Row} href=${app.href(`${at}/hazard`)} title="Someone must be told now" look="warn" />
          <${Row} href=${app.href(`${at}/i/runner`)} title="Something left running" />
          <${Row} href=${app.href(`${at}/i/as_left`)} title="As found, as left" />
          <${Row} href=${app.href(`${at}/note`)} title="A note" note="Kept for you and the reviewer" />
          <${Row} href=${app.href(`${at}/i/this_place`)} title="Name and place of this stop" />
          <${Row} href=${app.href(`${at}/add`)} title="One more stop after this" note="A room that was not counted" />
        </div>
      </section>
    <//>`;
}

// The usual things as keys; the rest by typing two letters.
function Items({ app, visit, stop, record }) {
  const [text, setText] = useState("");
  const [all, setAll] = useState(false);
  const [open, setOpen] = useState(null); // an item with one question is answered right here
  const at = `/v/${visit.id}/s/${stop}/i`;
  const items = itemsOf(visit.book, record).filter(([key]) => !["this_place", "lights_switches"].includes(key));
  // Typed letters find any item there is, those of this stop first.
  const typed = text.trim().length > 1;
  const others = typed ? Object.entries(visit.book.items.items).filter(([key]) => !items.some(([own]) => own === key)) : [];
  const labels = new Set(foundBy([...items, ...others].map(([, item]) => item.label), text));
  const found = [...items, ...others].filter(([, item]) => labels.has(item.label));
  const shown = all || typed ? found.slice(0, typed ? USUAL : undefined) : found.slice(0, USUAL);
  return html`
    <section class="part" aria-labelledby="look">
      <h2 class="part__title" id="look">To look at</h2>
      <div class="keys-grid">${shown.map(([key, item]) => html`<${Key} key=${key} look="item" label=${first(item.label)} name=${key}
        hint=${hintOf(visit, stop, key)} ...${hasOne(item) ? { pressed: open === key, onTap: () => setOpen(open === key ? null : key) } : { href: app.href(`${at}/${key}`) }} />`)}</div>
      ${open && html`<div class="asked-here" key=${open}><${Asked} app=${app} visit=${visit} stop=${stop} name=${open} item=${visit.book.items.items[open]} />
        <${Row} href=${app.href(`${at}/${open}`)} title="More of it, with a picture" /></div>`}
      ${!shown.length && html`<p>No item here is called like that. “Say it” takes anything.</p>`}
      ${items.length > USUAL && html`
        <div class="find-line">
          <label class="text"><span class="text__label">Find an item, two letters</span>
            <input class="text__box" type="search" value=${text} autocomplete="off" autocapitalize="off" enterkeyhint="search" onInput=${(event) => setText(event.target.value)} /></label>
          <${Key} look="small" label=${all ? "Fewer" : `All ${items.length}`} onTap=${() => setAll(!all)} />
        </div>`}
    </section>`;
}

const hasOne = (item) => item.record === "observation" && item.ask && Object.keys(item.ask).length === 1;

function hintOf(visit, stop, key) {
  const records = recordsOf(visit, stop, key);
  const item = visit.book.items.items[key];
  if (item.record === "visit" || item.record === "stop" || !records.length) return "";
  return `${records.length} here`;
}
