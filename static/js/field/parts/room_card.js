// The card of a room: how many were tried, all correct, with one tap; the odd ones by
// themselves; lights and switches the same way. A light is tried by its switch, so their number
// is taken for the switches until somebody says otherwise.
import { html, useState } from "../core/ui.js";
import { allCorrect, contradictions, counted } from "../core/receptacles.js";
import { briefOf } from "../core/brief.js";
import { count, first } from "../core/words.js";
import { Choice, Key, Row, Stepper } from "./keys.js";

const FEW = [0, 1, 2, 3, 4, 5, 6];
const MORE = [["receptacles_seen", "Seen"], ["receptacles_tried", "Tried"], ["receptacles_correct", "Correct"], ["receptacles_not_reachable", "Not reachable"]];

export function RoomCard({ app, visit, stop }) {
  visit.version.value;
  const [more, setMore] = useState(false);
  const record = visit.rec(stop);
  if (!record || !visit.book.items.receptacle_kinds.includes(record.stop_kind)) return null;
  const save = (fields) => app.saving(() => visit.set(stop, fields));
  const odd = visit.at(stop, "receptacle");
  const every = visit.of("receptacle");
  const again = contradictions(every).filter(([id, other]) => odd.some(([rec]) => rec === id || rec === other));
  const few = FEW.map((n) => [n, String(n)]);
  const at = `/v/${visit.id}/s/${stop}`;
  return html`
    <section class="part" aria-label="Receptacles, lights, switches">
      <${Choice} legend="Receptacles tried, all correct" keep value=${record.receptacles_tried ?? null} options=${few} onPick=${(n) => save(allCorrect(record, n))} />
      ${(more || (record.receptacles_tried ?? 0) !== (record.receptacles_correct ?? 0) || record.receptacles_tried > 6 || record.receptacles_not_reachable > 0)
        && MORE.map(([field, label]) => html`<${Stepper} key=${field} label=${label} value=${record[field] ?? null} max=${200} onChange=${(value) => save(counted(record, field, value))} />`)}
      <div class="open-line__keys">
        <${Key} look="small" label="An odd one" name="odd" href=${app.href(`${at}/receptacles/new`)} />
        ${!more && html`<${Key} look="small" label="More, or out of reach" onTap=${() => setMore(true)} />`}
      </div>
      ${odd.map(([id, one]) => html`<${Row} key=${id} href=${app.href(`${at}/receptacles/${id}`)} title=${one.place ?? "No place yet"} note=${briefOf(visit, one).note} />`)}
      ${again.map(([id, other, words]) => html`<${Row} key=${id + other} look="warn" href=${app.href(`${at}/receptacles/${id}`)} title=${`${visit.rec(id).place ?? "This one"}: ${words}`} note="Repeat the test" />`)}
      <${Choice} legend="Lights tried" keep value=${record.lights_tried ?? null} options=${few} onPick=${(n) => save({ lights_tried: n, ...(record.switches_tried === undefined || record.switches_tried === null ? { switches_tried: n } : {}) })} />
      <${Choice} legend="Switches tried" keep value=${record.switches_tried ?? null} options=${few} onPick=${(n) => save({ switches_tried: n })} />
    </section>`;
}

export const tried = (stop) => first(count(stop.receptacles_tried ?? 0, "receptacle"));
