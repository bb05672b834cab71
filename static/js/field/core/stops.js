// Stops that come and go while one walks: what may be added, where it falls in, its name, and
// moving one along the route. All of it ordinary records of the visit.
import { placed } from "../../standards/route.js";

const FIXED = new Set(["arrival", "leaving"]); // there is one of each
const DETAILS = ["room_use", "floor", "corner", "has_sink", "countertop"];

// The kinds of stop that the firm's route knows, rooms first: [{key, name, …}].
export function kindsOf(route) {
  const others = [...route.before, ...route.after].filter((one) => !FIXED.has(one.stop_kind));
  return [...route.rooms, ...others];
}

const like = (kind) => (stop) => (kind.room_use ? stop.room_use === kind.room_use : stop.stop_kind === kind.stop_kind);

// "Bedroom 4" where there are three; the bare name where there is none.
export function nameFor(visit, kind) {
  const numbers = visit.stops().map(([, stop]) => {
    if (stop.name === kind.name) return 1;
    const [, number] = stop.name?.startsWith(`${kind.name} `) ? /(\d+)$/.exec(stop.name) ?? [] : [];
    return Number(number ?? 0);
  });
  const most = Math.max(0, ...numbers);
  return most ? `${kind.name} ${most + 1}` : kind.name;
}

// Where a new one falls in: after the stop one stands at, else after the last of its kind,
// else after the last room; never after leaving.
export function placeFor(visit, kind, after = null) {
  const stops = visit.stops();
  const at = stops.findIndex(([id]) => id === after);
  if (at >= 0) return at + 1;
  const last = (fits) => stops.findLastIndex(([, stop]) => fits(stop)) + 1;
  const leaving = stops.findIndex(([, stop]) => stop.stop_kind === "leaving");
  return last(like(kind)) || last((stop) => stop.stop_kind === "room") || (leaving >= 0 ? leaving : stops.length);
}

// Adds a stop; resolves to its id. Its place and all that it says are saved together.
export async function addStop(visit, kind, { name, floor = null, after = null }) {
  const rec = visit.newId();
  const told = Object.fromEntries(DETAILS.filter((key) => kind[key]).map((key) => [key, kind[key]]));
  const fields = { kind: "stop", name, stop_kind: kind.stop_kind ?? "room", ...told, ...(floor ? { floor } : {}) };
  const rows = placed(visit.stops(), rec, placeFor(visit, kind, after));
  await visit.setAll(rows.map(([id, { pos }]) => [id, id === rec ? { ...fields, pos } : { pos }]));
  return rec;
}

// Moves a stop one earlier (-1) or later (1); resolves to its place, counted from 1.
export async function moveStop(visit, rec, by) {
  const stops = visit.stops();
  const at = stops.findIndex(([id]) => id === rec);
  const to = Math.min(stops.length - 1, Math.max(0, at + by));
  if (to !== at) await visit.setAll(placed(stops, rec, to));
  return to + 1;
}

// Nothing has been recorded at it: it may be taken off without taking anything along.
export const isEmpty = (visit, rec) => !visit.at(rec).length && !visit.rec(rec).closed_at && !visit.rec(rec).method;
