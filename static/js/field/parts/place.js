// What a room is called and where it is, asked once and right there. A walk goes from room to
// room on one floor, so the floor of the room before is taken until somebody says otherwise.
import { html, useState } from "../core/ui.js";
import { formOf, wordOf } from "../core/words.js";
import { Choice, Key } from "./keys.js";
import { TextField } from "./text.js";

const NAMED = new Set(["room", "attic", "under_floor"]); // of these a house has several
const ASKED = { room: ["floor", "corner"], garage: ["floor", "corner"], service_equipment: ["floor", "corner"], attic: ["corner"], under_floor: ["corner"] };

// {floor} for a room that is seen for the first time, or nothing.
export function floorBefore(visit, stop) {
  const record = visit.rec(stop);
  if (record.stop_kind !== "room" || record.floor) return {};
  const rooms = visit.stops().filter(([, one]) => one.stop_kind === "room");
  const before = rooms[rooms.findIndex(([id]) => id === stop) - 1]?.[1];
  return before?.floor && before.closed_at ? { floor: before.floor } : {};
}

export function Place({ app, visit, stop, record }) {
  const [change, setChange] = useState(false);
  const asked = ASKED[record.stop_kind];
  if (!asked) return null;
  const save = (fields) => app.saving(() => visit.set(stop, fields));
  const options = (field) => formOf(visit.book, "stop", field).options.map((one) => [one, wordOf(visit.book, one)]);
  if (record.closed_at && asked.every((field) => record[field])) return null;
  return html`
    <section class="part" aria-label="Name and place">
      ${NAMED.has(record.stop_kind) && html`<${TextField} label="Called" value=${record.name} max=${80} whole onSave=${(name) => name && save({ name })} />`}
      ${asked.map((field) => (field === "floor" && record.floor && !change
        ? html`<${Key} key="floor" look="small" label=${`Floor: ${wordOf(visit.book, record.floor)}`} hint="change it" onTap=${() => setChange(true)} />`
        : html`<${Choice} key=${field} legend=${field === "floor" ? "Floor" : "Corner, seen facing the front"} value=${record[field] ?? null}
            options=${options(field)} onPick=${(value) => save({ [field]: value })} />`))}
    </section>`;
}
