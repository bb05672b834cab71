// Leaving a stop and leaving the house: what closes, what still holds one back. The same
// lines as findings/selectors/field/leaving.py.
import { closesAt, openOf } from "./ledger.js";
import { untied } from "./photos.js";
import { notStoodFor } from "./recorders.js";

const MOMENTS_S = 60; // shorter than this, a stop asks why that was enough
const MOST_MINUTES = 600;

export function minutesHere(stop, now) {
  const began = Date.parse(stop.opened_at ?? "");
  return Number.isNaN(began) ? null : Math.max(0, Math.floor((now - began) / 60000));
}

export function asksReason(stop, now) {
  const began = Date.parse(stop.opened_at ?? "");
  return !stop.closed_at && !Number.isNaN(began) && (now - began) / 1000 < MOMENTS_S;
}

// Closes a stop: what was looked at together, less what was struck out or is not there at all,
// and how long it took.
export async function close(visit, stopId, { struck = new Set(), absent = new Set(), reason = "", now, more = {} }) {
  const stop = visit.rec(stopId);
  const known = closesAt(visit, stopId).map((duty) => duty.id);
  const minutes = minutesHere(stop, now);
  for (const duty of known.filter((id) => absent.has(id)).sort()) await visit.make("duty", { duty, stop: stopId, answer: "not_present" });
  await visit.set(stopId, {
    closed_at: now.toISOString(),
    closed_struck: known.filter((id) => struck.has(id)).sort(),
    closed_minutes: minutes === null ? null : Math.min(minutes, MOST_MINUTES),
    ...more,
  });
  if (reason.trim()) await visit.make("note", { stop: stopId, about: stopId, text: reason.trim() });
}

// The stop after this one on the route that is not closed yet.
export function nextStop(visit, stopId) {
  const stops = visit.stops();
  const at = stops.findIndex(([id]) => id === stopId);
  const open = ([, stop]) => !stop.closed_at;
  return stops.slice(at + 1).find(open) ?? stops.slice(0, at).find(open) ?? null;
}

// What is left before driving off.
export function leftOver(visit) {
  const lines = openOf(visit);
  return {
    feet: lines.filter((line) => line.needs_feet),
    desk: lines.filter((line) => !line.needs_feet),
    notClosed: visit.stops().filter(([, stop]) => !stop.closed_at),
    notStoodFor: notStoodFor(visit),
    runners: visit.of("runner").filter(([, one]) => !one.ended_at),
    notPutBack: visit.of("as_left").filter(([, one]) => !one.put_back),
    loose: untied(visit).filter(([, photo]) => !photo.about),
    apart: visit.conflicts(),
  };
}
