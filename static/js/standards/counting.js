// Counts: tried n of m, one in every room, and the groups where every one counts; the
// counterpart of findings/standards/counting.py.
import { found } from "./matching.js";
import { asInt } from "./visit.js";

export function byCount(visit, duty, stops) {
  if (!duty.count || stops.length !== 1) return null;
  const [stop] = stops;
  const [tried, seen, unreachable] = numbers(visit, duty.count, stop);
  if (seen === 0) return { state: "not_present", text: `No ${duty.count.what} here.`, stop };
  if (!enough(duty.count, tried, seen, unreachable)) return null;
  const refs = visit.refs(duty, stops, false);
  return {
    state: refs.length ? "reported" : "looked", text: countText(duty.count.what, tried ?? 0, seen, unreachable),
    tried, total: seen, stop, findings: refs,
  };
}

function numbers(visit, count, stop) {
  const record = visit.stop(stop);
  return [count.tried, count.seen, count.unreachable].map((name) => (name ? asInt(record[name]) : null));
}

function enough(count, tried, seen, unreachable) {
  if (tried === null) return false;
  if (count.rule === "every") return seen !== null && tried + (unreachable ?? 0) >= seen;
  return count.rule === "judged" || tried >= 1;
}

export function countText(what, tried, seen, unreachable) {
  const told = tried === 1 ? one(what) : what;
  const text = seen ? `Tried ${tried} of ${seen} ${what}` : `Tried ${tried} ${told}`;
  return unreachable ? `${text}; ${unreachable} out of reach.` : `${text}.`;
}

const one = (what) => (what.endsWith("ches") ? what.slice(0, -2) : what.replace(/s$/, ""));

export function countHint(visit, duty, stops) {
  if (!duty.count || stops.length !== 1) return duty.text;
  const [tried, seen, unreachable] = numbers(visit, duty.count, stops[0]);
  const { what, rule } = duty.count;
  if (rule === "every" && seen === null) return `Count the ${what} here: seen, tried, out of reach.`;
  if (tried === null || rule !== "every") return `Say how many ${what} were tried here.`;
  return `Every one counts here: ${(seen ?? 0) - tried - (unreachable ?? 0)} of ${seen} ${what} not tried.`;
}

export function byTest(visit, duty, stops) {
  if (!duty.tested) return null;
  const records = found(visit.byKind, duty.tested);
  if (!records.length || untested(visit, duty) > 0) return null;
  const refs = visit.refs(duty, stops, true);
  const n = records.length;
  return {
    state: refs.length ? "reported" : "looked", text: `Tried ${n} of ${n} ${duty.tested.what}.`, tried: n, total: n,
    stop: String(records[0][1].stop ?? ""), findings: refs,
  };
}

function untested(visit, { tested }) {
  return found(visit.byKind, tested).filter(([, record]) => !tested.fields.some((name) => tested.done.includes(record[name]))).length;
}

export function testHint(visit, duty) {
  const left = duty.tested ? untested(visit, duty) : 0;
  if (!left) return duty.text;
  return `${left} of ${found(visit.byKind, duty.tested).length} ${duty.tested.what} not tried: try, or say why not.`;
}
