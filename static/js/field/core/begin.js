// The stops of a new walk, from the book's route and how many rooms there are; the same as
// findings/services/field/starting.py makes.
import { namedId } from "./named_id.js";

const STEP = 10;
const DETAILS = ["room_use", "floor", "corner", "has_sink", "countertop"];

// What a person gives numbers for: [{key, name, usual, most}], rooms among them.
export function asked(route) {
  const some = (rows) => (rows ?? []).filter((row) => row.asked);
  return [...some(route.before), ...route.rooms, ...some(route.after)]
    .map(({ key, name, usual = 1, most = 1 }) => ({ key, name, usual, most }));
}

export function stopsOf(route, counts) {
  const made = [];
  let position = 0;
  for (const one of [...route.before, ...route.rooms, ...route.after]) {
    const room = "room_use" in one;
    const wanted = room || one.asked ? Math.min(one.most ?? 1, counts[one.key] ?? one.usual ?? 1) : 1;
    for (let number = 1; number <= wanted; number += 1) {
      position += STEP;
      const name = wanted === 1 ? one.name : `${one.name} ${number}`;
      const told = DETAILS.filter((key) => one[key]).map((key) => [key, one[key]]);
      made.push([`${one.key}:${number}`, {
        name, stop_kind: one.stop_kind ?? "room", pos: `r${String(position).padStart(5, "0")}`,
        ...Object.fromEntries(told),
      }]);
    }
  }
  return made;
}

// Writes the arrival and every stop. A repeat writes the same records and adds nothing.
export async function begin(visit, counts, now) {
  if (!visit.about().arrived_at) await visit.set(visit.id, { arrived_at: now });
  for (const [key, fields] of stopsOf(visit.book.route, counts)) {
    const rec = await namedId(visit.id, `stop:${key}`);
    await visit.set(rec, { kind: "stop", on_site: true, ...fields });
  }
}
