// Puts proposals in order, joins those of one topic, and applies decisions; merging.py.
import { bare } from "../said.js";
import { listed } from "./whole.js";

const WORST_FIRST = [
  "defect_now", "needs_specialist_urgent", "needs_specialist", "deficient_by_duty", "defect_at_construction", "depends_on_adoption",
  "met_then_safer_now", "mitigate", "needs_openings", "retest", "maintenance", "consider", "monitor", "informational", "undetermined",
];
export const CALENDAR = new Set(WORST_FIRST.slice(4, 7));
const REACH = "reach"; // a height above the floor, which belongs to its own place
const FIGURE = /^[\p{Nd}\u00b2\u00b3\u00b9\u2070\u2074-\u2079\u2080-\u2089]/u;
const SAID_OF = ["choice", "reason", "reason_text", "consequence", "timing", "covers"];
const unique = (items) => [...new Set(items)];

// Hazard 0, pack 1, plain 2, calendar 3, quiet 4, asking 5.
function rank(one) {
  if (one.outcome === "undetermined") return 5;
  if (one.hazard) return 0;
  if (one.outcome === "deficient_by_duty") return 1;
  if (CALENDAR.has(one.outcome)) return 3;
  return one.outcome === "informational" ? 4 : 2;
}

const ORDERS = new WeakMap(); // proposal -> what it is ordered by
const JOINED = new WeakMap(); // first of a group -> {group, made}; most groups stay as they were
const ANSWERED = new WeakMap(); // proposal -> {key, made}: the same with what was decided on it
const madeOf = (one) => [rank(one), Number(one.timing !== "today"), WORST_FIRST.indexOf(one.outcome), one.rule, one.stop, one.key];

function orderOf(one) {
  if (!ORDERS.has(one)) ORDERS.set(one, madeOf(one));
  return ORDERS.get(one);
}

function inOrder(proposals) {
  const keyed = proposals.map((one) => [orderOf(one), one]);
  keyed.sort(([a], [b]) => {
    for (let at = 0; at < a.length; at += 1) if (a[at] !== b[at]) return a[at] < b[at] ? -1 : 1;
    return 0;
  });
  return keyed.map(([, one]) => one);
}

// One proposal for each topic, trade and passage, in the order of the page; in steps.
function* merged(found) {
  const groups = new Map();
  for (const one of inOrder(found)) {
    const same = one.outcome === "undetermined" ? one.key : JSON.stringify([one.topic, one.trade, one.passage, rank(one), one.consequence]);
    if (groups.has(same)) groups.get(same).push(one);
    else groups.set(same, [one]);
  }
  yield;
  const all = [];
  for (const group of groups.values()) {
    if (group.length === 1) all.push(group[0]);
    else {
      all.push(joined(group));
      yield;
    }
  }
  return inOrder(all);
}

function joined(group) {
  const held = JOINED.get(group[0]);
  if (held?.group.length === group.length && held.group.every((one, at) => one === group[at])) return held.made;
  const made = join(group);
  JOINED.set(group[0], { group, made });
  return made;
}

function join(group) {
  const [first] = group;
  const facts = new Map(group.flatMap((one) => one.facts).map((one) => [`${one.record}\n${one.field}`, one]));
  return {
    ...first,
    subjects: unique(group.flatMap((one) => one.subjects)),
    parts: unique(group.map((one) => one.key)),
    places: unique(group.flatMap((one) => one.places)),
    facts: [...facts.values()],
    blanks: { ...blanksOf(group), place: together(placesOf(group)) },
    age_note: byPlace(group, (one) => one.age_note, " "),
    margin: unique(group.map((one) => one.margin).filter(Boolean)).join("; "),
    ruling: unique(group.map((one) => one.ruling).filter(Boolean)).join(" "),
    edition: editionOf(group),
    trace: group.flatMap((one) => one.trace),
    needs: group.flatMap((one) => one.needs),
    // One part known from outside memory is enough to show the whole.
    firm_only: group.every((one) => one.firm_only),
  };
}

// The values of all, each said once; a blank some lack is left open. Figures that differ
// stand in the order of their places, one for each of them.
function blanksOf(group) {
  const names = Object.keys(group[0].blanks).filter((name) => ![REACH, "place"].includes(name) && group.every((one) => name in one.blanks));
  const inOrderOfPlaces = unique(group.flatMap((one) => one.places)).length === group.length;
  const found = {};
  for (const name of names.sort()) {
    const values = group.map((one) => one.blanks[name]);
    const once = unique(values);
    const figures = inOrderOfPlaces && values.every((value) => FIGURE.test(value));
    found[name] = listed(figures && once.length > 1 ? values : once);
  }
  const reaches = unique(group.map((one) => one.blanks[REACH]));
  return reaches.length === 1 && reaches[0] ? { ...found, [REACH]: reaches[0] } : found;
}

// The places; where heights differ each stands with its own.
function placesOf(group) {
  if (unique(group.map((one) => one.blanks[REACH])).length === 1) return unique(group.flatMap((one) => one.places));
  return group.flatMap((one) => one.places.map((place) => (one.blanks[REACH] ? `${place} (${one.blanks[REACH]})` : place)));
}

// Lists places; a room that all of them share is said once.
function together(places) {
  if (!places.length) return "";
  const parts = places.map((place) => place.split(", "));
  let shared = 0;
  while (parts.every((one) => one.length > shared + 1 && one[shared] === parts[0][shared])) shared += 1;
  const head = [...parts[0].slice(0, shared), ""].join(", ");
  const spots = parts.map((one) => one.slice(shared).join(", "));
  if (!spots.some((spot) => spot.includes(", "))) return head + listed(spots);
  // Commas within a place would run into those between two.
  return head + [spots.slice(0, -1).join("; "), spots[spots.length - 1]].join("; and ");
}

function editionOf(group) {
  const dated = group.map((one) => one.edition).filter((edition) => Object.keys(edition).length);
  if (!dated.length) return {};
  const text = byPlace(group, (one) => one.edition.text ?? "", "; ");
  return { ...dated[0], text, decided_by: unique(dated.map((one) => bare(one.decided_by ?? ""))).join("; ") };
}

// What holds for all is said once; where it differs, with the places it holds for.
function byPlace(group, say, between) {
  const told = new Map();
  for (const one of group) {
    const text = say(one);
    if (text) told.set(text, [...(told.get(text) ?? []), ...one.places]);
  }
  if (told.size < 2) return [...told.keys()].join(between);
  return [...told].map(([text, places]) => `${together(unique(places))}: ${text}`).join(between);
}

// What is offered and, apart from it, what each answer "not here" covers. Only what stood in a
// proposal when it was set aside is covered: a place that comes later is offered anew.
export function* decided(view, found) {
  const decisions = decisionsOf(view);
  const asideBy = new Map([...decisions.values()].filter(({ said }) => said.choice === "not_here")
    .flatMap(({ own, said }) => [own.join(":"), ...(said.covers ?? [])].map((key) => [key, said])));
  const open = [];
  const taps = new Map();
  for (const one of found) {
    const said = asideBy.get(one.key);
    if (!said) open.push(one);
    else taps.set(said.record, [...(taps.get(said.record) ?? []), answered(one, said)]);
  }
  const offered = (yield* merged(open)).map((one) => answered(one, decisions.get(`${one.rule}\n${one.subject}`)?.said ?? {}));
  const aside = [];
  for (const group of taps.values()) aside.push(...(yield* merged(group)));
  return { offered, aside: inOrder(aside) };
}

// The same object again for the same answer, so that what has not changed is known by it.
function answered(one, decision) {
  const key = JSON.stringify(decision);
  if (ANSWERED.get(one)?.key !== key) ANSWERED.set(one, { key, made: { ...one, decision } });
  return ANSWERED.get(one).made;
}

function decisionsOf(view) {
  const found = new Map();
  for (const record of view.all("decision")) {
    const own = ["rule", "subject"].map((name) => bare(view.get(record, name)));
    const values = SAID_OF.map((name) => [name, view.get(record, name)]).filter(([, value]) => value !== null);
    found.set(own.join("\n"), { own, said: Object.fromEntries([["record", record], ...values]) });
  }
  return found;
}
