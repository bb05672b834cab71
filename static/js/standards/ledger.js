// The coverage ledger on the phone: how every duty of the standard stands on one visit. The
// counterpart of findings/standards/ledger.py, held equal by tests/findings/test_ledger_in_js.py.
import { reply } from "./answers.js";
import { anyOf } from "./matching.js";
import { VisitView, belongs, condition } from "./visit.js";

const EMPTY = { text: "", together: false, tried: null, total: null, findings: [], hint: "", said: false, stop: "" };

// {rows, names}: one row for each duty at each place where it is asked.
export function ledger({ pack, records, index = new Map(), scope = [], conflicts = [], words = {} }) {
  const visit = new VisitView({ pack, records, index, scope, conflicts, words });
  const rows = pack.duties.flatMap((duty) => rowsOf(visit, duty));
  const names = Object.fromEntries(visit.stops.map(([id, stop]) => [id, String(stop.name || "A stop without a name")]));
  return { rows, names, visit, pack };
}

function rowsOf(visit, duty) {
  if (duty.held_by || (duty.arises.length && !anyOf(visit.byKind, duty.arises))) return [];
  const stops = visit.stopIds(duty);
  if (duty.per === "house" || !stops.length || !visit.covers(duty.system)) return [row(visit, duty, stops)];
  return stops.map((stop) => row(visit, duty, [stop]));
}

function row(visit, duty, stops) {
  const answer = { ...EMPTY, ...reply(visit, duty, stops) };
  const there = answer.stop in visit.records ? answer.stop : "";
  const stop = there || placeOf(visit, duty, answer, stops);
  return { duty: duty.id, system: duty.system, item: duty.item, ...answer, stop };
}

// An open duty goes to a stop not closed yet, of the kind it names first.
function placeOf(visit, duty, answer, stops) {
  if (answer.state !== "open") return stops.length === 1 ? stops[0] : "";
  const rank = (stop) => {
    const at = duty.stops.indexOf(visit.kind(stop));
    return (visit.closed(stop) ? 1000 : 0) + (at < 0 ? duty.stops.length : at);
  };
  return stops.reduce((best, stop) => (best === "" || rank(stop) < rank(best) ? stop : best), "");
}

const onFoot = (duty) => ["inspect", "operate"].includes(duty.duty) || duty.exception || (condition(duty) && duty.as_deficient);

// What still needs an answer, of one stop or of the whole visit.
export function openLines({ rows, names, pack }, stop = null) {
  const duties = new Map(pack.duties.map((duty) => [duty.id, duty]));
  return rows.filter((one) => one.state === "open" && (stop === null || one.stop === stop)).map((one) => ({
    duty: one.duty, system: one.system, item: one.item, stop: one.stop, place: names[one.stop] ?? "At the desk",
    hint: one.hint, needs_feet: onFoot(duties.get(one.duty)),
  }));
}

// The duties that "looked at everything here" closes at a stop.
export function closable({ pack, visit }, stopId) {
  const stop = visit.stop(stopId);
  return pack.duties.filter((duty) => duty.exception && belongs(duty, stop.stop_kind ?? "", stop.room_use ?? "") && visit.covers(duty.system));
}

// Which findings report which duty: {id, stop, rule, passage, item, system, duties}.
export function indexFindings(pack, findings) {
  const index = new Map();
  for (const finding of findings) {
    for (const duty of tied(pack, finding)) {
      if (!index.has(duty.id)) index.set(duty.id, []);
      index.get(duty.id).push({ id: String(finding.id), stop: String(finding.stop ?? "") });
    }
  }
  return index;
}

export function tied(pack, finding) {
  const named = pack.duties.filter((duty) => isNamed(finding, duty));
  if (named.length) return named;
  const homes = pack.duties.filter((duty) => finding.item && duty.items.includes(finding.item)).map((duty) => duty.system);
  const system = homes.includes(finding.system) ? finding.system : "";
  return pack.duties.filter((duty) => (!system || system === duty.system) && Boolean(finding.item) && duty.items.includes(finding.item));
}

function isNamed(finding, duty) {
  if ((finding.duties ?? []).includes(duty.id)) return true;
  const keys = [finding.rule, finding.passage].map((key) => String(key ?? ""));
  return keys.some((key) => duty.rules.some((rule) => key === rule || key.startsWith(`${rule}.`) || key.startsWith(`${rule}_`)));
}
