// How a place was looked at: one compulsory tap, a reason where it was less than the usual.
import { html } from "../core/ui.js";
import { first, formOf, wordOf } from "../core/words.js";
import { Choice } from "./keys.js";
import { TextField } from "./text.js";

// What fits where, the fullest way first; the reason is asked for everything after it.
export const WAYS = {
  roof: ["walked", "ladder_at_edge", "pole_camera", "drone", "from_window", "from_ground", "not_done"],
  attic: ["entered", "from_hatch", "pole_camera", "not_done"],
  under_floor: ["entered", "from_hatch", "pole_camera", "not_done"],
  outside: ["walked", "from_ground", "from_window", "not_done"],
  room: ["entered", "from_window", "not_done"],
  garage: ["entered", "from_window", "not_done"],
  service_equipment: ["panel_removed", "from_ground", "not_done"],
};

export const waysOf = (stop) => WAYS[stop?.stop_kind] ?? ["entered", "not_done"];
export const isLesser = (stop) => Boolean(stop?.method) && stop.method !== waysOf(stop)[0];
export const mustSay = (visit, stop) => visit.book.items.method_kinds.includes(stop?.stop_kind);

// Standing in a room or walking past a side of the house is how it was looked at.
const PLAIN = { room: "entered", garage: "entered", outside: "walked" };
export const plainMethod = (stop) => (stop.method ? {} : PLAIN[stop.stop_kind] ? { method: PLAIN[stop.stop_kind] } : {});

export function MethodKeys({ app, visit, stop }) {
  const record = visit.rec(stop);
  if (!record || record.stop_kind === "arrival" || record.stop_kind === "leaving") return null;
  const known = formOf(visit.book, "stop", "method").options;
  const ways = waysOf(record).filter((one) => known.includes(one));
  const save = (fields) => app.saving(() => visit.set(stop, fields));
  if (!mustSay(visit, record) && !record.method && record.stop_kind !== "service_equipment") return null;
  return html`
    <section class="part" aria-label="How it was looked at">
      <${Choice} legend=${mustSay(visit, record) ? "How do you look at it?" : "Looked at"} look="large" keep value=${record.method}
        options=${ways.map((one) => [one, one === "not_done" ? "I did not go" : wordOf(visit.book, one)])} onPick=${(method) => save({ method })} />
      ${isLesser(record) && html`<${TextField} label=${record.method === "not_done" ? "I did not go because" : `${first(wordOf(visit.book, record.method))}, because`}
        value=${record.method_reason} lines=${2} max=${500} phrases=${visit.book.items.phrases[`method_${record.stop_kind}`] ?? []} onSave=${(text) => save({ method_reason: text })} />`}
    </section>`;
}
