// Duties answered by one reason for many, by closing a stop, or by what a house has not;
// the other half of findings/standards/answers.py.
import { anyOf, found } from "./matching.js";
import { condition } from "./visit.js";

const reach = (limit) => (limit.reach ?? []).map(String);

export function byLimit(visit, duty, stops) {
  for (const limit of visit.limits) {
    const touched = new Set(reach(limit));
    const everywhere = stops.length > 0 && stops.every((stop) => touched.has(stop));
    if (touched.has(duty.id) || touched.has(`system:${duty.system}`) || everywhere) {
      return { state: "not_inspected", text: limitText(visit, limit), stop: stops.length === 1 ? stops[0] : "" };
    }
  }
  return null;
}

export function limitText(visit, limit) {
  const [reason, text] = [String(limit.reason ?? "other"), String(limit.text ?? "").trim()];
  if (reason === "other" && text) return text;
  const words = visit.words[reason] ?? reason.replaceAll("_", " ");
  return text ? `${words}: ${text}` : words;
}

// "Looked at everything here; nothing else noted": see the server's words for why so.
export function byClosing(visit, duty, stops) {
  if (!duty.exception || !ready(visit, duty)) return null;
  const limited = new Set(visit.limits.flatMap(reach));
  for (const group of groups(visit, duty, stops)) {
    if (!group.every((stop) => visit.closed(stop) || limited.has(stop))) continue;
    const one = closed(visit, duty, group, limited);
    if (one) return one;
  }
  return null;
}

function groups(visit, duty, stops) {
  if (duty.per === "stop") return [stops];
  const held = new Set(duty.requires.flatMap((line) => found(visit.byKind, line).map(([, record]) => String(record.stop))));
  const here = stops.filter((stop) => held.has(stop));
  if (here.length) return [here];
  return duty.stops.map((kind) => stops.filter((stop) => visit.kind(stop) === kind)).filter((group) => group.length);
}

function closed(visit, duty, group, limited) {
  let undone = null;
  const place = group.length === 1 && !duty.anywhere ? group[0] : "";
  for (const id of group) {
    const stop = visit.stop(id);
    if ((stop.closed_struck ?? []).includes(duty.id) || limited.has(id)) continue;
    if (stop.method === "not_done") {
      undone = undone ?? notDone(stop, id);
      continue;
    }
    return { state: "looked", together: true, stop: place };
  }
  return undone;
}

function ready(visit, duty) {
  if (duty.present.length && !anyOf(visit.byKind, duty.present)) return false;
  return !duty.requires.length || anyOf(visit.byKind, duty.requires);
}

function notDone(stop, id) {
  const reason = String(stop.method_reason ?? "");
  if (!reason) return { state: "open", stop: id, hint: "Say why this was not looked at." };
  return { state: "not_inspected", text: reason, stop: id };
}

export function byAbsence(visit, duty, stops) {
  if (duty.trigger !== "if_present" && !condition(duty)) return null;
  if (!stops.length) return { state: "not_present", text: "No such place was on this visit's route." };
  if (!duty.present.length || anyOf(visit.byKind, duty.present)) return null;
  if (stops.every((stop) => visit.closed(stop))) return { state: "not_present", text: "None was found." };
  const shut = stops.filter((stop) => !visit.closed(stop));
  return shut.length < stops.length ? noneElsewhere(visit, shut) : null;
}

function noneElsewhere(visit, shut) {
  const byStop = new Map(visit.limits.flatMap((limit) => reach(limit).map((stop) => [stop, limit])));
  if (!shut.every((stop) => byStop.has(stop))) return null;
  const why = [...new Set(shut.map((stop) => limitText(visit, byStop.get(stop))))].join("; ");
  return { state: "not_inspected", text: `None was found in the places looked at; ${why}` };
}
