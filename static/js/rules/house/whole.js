// What the house as a whole says: alarms, the drop, readings; findings/rules/bindings_house.py.
import { span } from "../era.js";
import { bare } from "../said.js";
import { ANSWER, Binding, YES_NO, means } from "./view.js";

const DROP_SURFACES = {
  drip_loop_above_ground_ft: "entrance_or_drip_loop", drop_above_walk_ft: "pedestrian_only",
  drop_above_drive_ft: "residential_drive", drop_above_street_ft: "street_or_truck",
};
const ALARMED = ["bedroom", "hall", "stairs"]; // rooms where an alarm is looked for
const FLOOR_WORDS = { below_ground: "the floor below ground", first: "the first floor", second: "the second floor", third: "the third floor" };
const POWER = { wired_with_battery: "wired", wired: "wired", battery: "battery", sealed_battery: "battery" };
const REMOTE = "elec.disconnect.exterior_emergency";
const LOOKED_AT = new Map([
  ["drip_loop", ["elec.service.drip_loop", "drip_loop"]],
  ["mast_tilted", ["elec.service.mast", "tilted"]],
  ["mast_cables", ["elec.service.mast", "other_cables_attached"]],
  ["outdoor_shut_off", [REMOTE, "exterior_disconnect"]],
  ["surge_protection", [REMOTE, "spd_present"]],
  ["panel_blocked", ["elec.panel.working_space", "storage_in_space"]],
  ["cooling_shut_off", ["elec.ac_disconnect", "within_sight"]],
]);
const SAYS_ANSWER = { words: ANSWER };

export const house = (view) => [...smoke(view), ...carbonMonoxide(view), ...drop(view), ...voltage(view)];

const rooms = (view) => view.all("stop").filter((stop) => view.get(stop, "stop_kind") === "room");
const bedroomsOf = (view) => rooms(view).filter((stop) => view.get(stop, "room_use") === "bedroom");
const floorsOf = (view, stops) => new Set(stops.map((stop) => bare(view.get(stop, "floor"))));

// Whether every room was left, so that what is missing can be counted. A room that could not
// be entered keeps nothing waiting, unless people sleep in it or pass through it to there.
function allLeft(view) {
  const shut = new Set(view.all("limit").flatMap((one) => view.get(one, "reach") ?? []));
  const passed = (one) => view.closed(one) || (shut.has(one) && !ALARMED.includes(view.get(one, "room_use")));
  return bedroomsOf(view).length > 0 && rooms(view).every(passed);
}

// The alarms of a kind; an empty list only where they were looked for.
function alarmsOf(view, found, kinds) {
  const ofKind = (record) => view.all(record).filter((one) => kinds.includes(view.get(one, "alarm_kind")));
  const looks = ofKind("alarm_look");
  // Looked for and none, beside one that is recorded: nobody knows how many there are.
  if (looks.some((look) => view.inDispute(look, "answer"))) return null;
  const alarms = ofKind("alarm");
  for (const alarm of alarms) found.take(view, "alarms", alarm, "alarm_kind");
  if (alarms.length) return alarms.map((alarm) => alarmOf(view, alarm));
  for (const look of looks) found.take(view, "alarms", look, "answer");
  return looks.length ? [] : null;
}

const alarmOf = (view, alarm) => ({
  made_year: view.get(alarm, "made_year"),
  sounded: YES_NO.get(view.get(alarm, "sounded")) ?? null,
  power: POWER[view.get(alarm, "power")] ?? null,
  interconnected: YES_NO.get(view.get(alarm, "interconnected")) ?? null,
});

const houseAt = (view, rule, item) => new Binding(view, rule, view.only("visit") || "visit", item, { place: "the house", stop: "" });

function smoke(view) {
  if (!allLeft(view)) return [];
  const found = houseAt(view, "elec.smoke.location", "smoke_alarm");
  const bedrooms = bedroomsOf(view);
  const alarms = alarmsOf(view, found, ["smoke", "both"]);
  const storeys = floorsOf(view, rooms(view));
  for (const none of ["None", "attic"]) storeys.delete(none);
  const arrived = bare(view.get(view.only("visit"), "arrived_at") || "").slice(0, 4);
  found.give({
    bedrooms: bedrooms.length,
    // Bedrooms of one floor are taken as one sleeping area: the least it can be.
    separate_sleeping_areas: floorsOf(view, bedrooms).size,
    stories_incl_basement: Math.max(1, storeys.size),
    inspection_year: /^[0-9]+$/.test(arrived) ? arrived : null,
  });
  found.place = withoutSmokeAlarm(view, bedrooms) || found.place;
  // Age and sound are each alarm's own matter; here only their number and kind count.
  return [found.give({ alarms: alarms && alarms.map(({ power, interconnected }) => ({ power, interconnected })) })];
}

// The bedrooms, and the floors, where no smoke alarm was recorded.
function withoutSmokeAlarm(view, bedrooms) {
  const heard = view.all("alarm").filter((one) => ["smoke", "both"].includes(view.get(one, "alarm_kind"))).map((one) => view.get(one, "stop"));
  const covered = new Set(heard.map((stop) => view.get(stop, "floor")));
  const floors = [...new Set(rooms(view).map((stop) => view.get(stop, "floor")))].filter((floor) => floor && floor !== "attic" && !covered.has(floor));
  const named = bedrooms.filter((stop) => !heard.includes(stop)).map((stop) => view.place(stop));
  return listed([...named, ...floors.map((floor) => FLOOR_WORDS[floor] ?? bare(floor))]);
}

export function listed(words) {
  const [last = "", most] = [words[words.length - 1], words.slice(0, -1)];
  return most.length ? `${most.join(", ")} and ${last}` : last;
}

function carbonMonoxide(view) {
  if (!allLeft(view)) return [];
  const found = houseAt(view, "elec.co.location", "carbon_monoxide_alarm");
  const alarms = alarmsOf(view, found, ["carbon_monoxide", "both"]);
  for (const one of view.all("observation")) {
    const what = view.get(one, "what");
    if (what === "fuel_appliance") found.take(view, what, one, "answer", SAYS_ANSWER);
    if (what === "attached_garage") found.take(view, "attached_garage_with_opening", one, "answer", SAYS_ANSWER);
  }
  return [found.give({ sleeping_areas: floorsOf(view, bedroomsOf(view)).size, alarms: alarms && alarms.length })];
}

// The last measure of each thing, by its key, in the order of record ids.
const measuresOf = (view) => new Map(view.all("measure").map((one) => [view.get(one, "what"), one]));

function reading(view, rule, name, one) {
  const found = new Binding(view, rule, one, "service_drop").take(view, name, one, "value", { unit: "ft" });
  return found.give({ judged: view.how(one, "value") === "estimated" });
}

function drop(view) {
  const measures = measuresOf(view);
  const said = Object.entries(DROP_SURFACES).filter(([what]) => measures.has(what))
    .map(([what, surface]) => reading(view, "elec.service_drop.ground", "height", measures.get(what)).give({ surface }));
  if (measures.has("drop_above_roof_ft")) {
    const roof = reading(view, "elec.service_drop.roof", "clearance", measures.get("drop_above_roof_ft"));
    said.push(roof.take(view, "slope_rise_per_12", measures.get("roof_slope_in_per_12"), "value", { unit: "in" }));
  }
  if (measures.has("drop_to_opening_ft")) {
    const near = reading(view, "elec.service_drop.openings", "horizontal_distance", measures.get("drop_to_opening_ft"));
    // Only a window can be passed above; the nearest opening is asked as one.
    said.push(near.give({ opening: "openable_window" }));
  }
  return said;
}

function voltage(view) {
  const measures = measuresOf(view);
  if (!measures.has("leg_a_V") || !measures.has("leg_b_V")) return [];
  const found = new Binding(view, "elec.service.voltage", measures.get("leg_a_V"), "service");
  for (const [name, what] of [["leg_a", "leg_a_V"], ["leg_b", "leg_b_V"], ["leg_to_leg", "leg_to_leg_V"]]) {
    found.take(view, name, measures.get(what), "value", { unit: "V" });
  }
  return [found];
}

// An observation under a key that rules know; looked and none is a no.
export function looked(view, tree, one) {
  const [rule, name] = LOOKED_AT.get(view.get(one, "what")) ?? [];
  if (!rule) return [];
  return [new Binding(view, rule, one, bare(view.get(one, "item") || "electrical")).take(view, name, one, "answer", SAYS_ANSWER)];
}

const ALL_CORRECT = means({});

// A room where all tried correct still says what the lamps cannot show.
export function testerLimits(view, tree, stop) {
  if (!view.closed(stop) || !((view.get(stop, "receptacles_correct") ?? 0) > 0)) return [];
  const found = new Binding(view, "elec.tester.limits", stop, "receptacle");
  return [found.take(view, "pattern", stop, "receptacles_correct", { words: ALL_CORRECT }).give({ pattern: "correct", slots: 3 })];
}

const spanOf = (first, last) => (first === null && last === null ? null : span(first ?? last, last));

// The dates of a binding: the property's, and those of age notes.
export function datesOf(view, bound, facts) {
  let built = spanOf(facts.built_from ?? null, facts.built_to ?? null);
  const visit = view.only("visit");
  built ??= spanOf(view.get(visit, "built_year"), view.get(visit, "built_year_to"));
  const notes = new Map(view.all("age_note").map((note) => [view.get(note, "reach"), note]));
  let altered = null;
  for (const reach of [bound.stop, `system:${bound.system}`, "house"]) {
    const note = notes.get(reach);
    if (!note) continue;
    // A date in dispute is no date; the house's own would be a guess here.
    if (view.inDispute(note, "year_from") || view.inDispute(note, "year_to")) return {};
    const told = spanOf(view.get(note, "year_from"), view.get(note, "year_to"));
    if (!reach || !told) continue;
    if (reach === "house") built ??= told;
    else altered = told;
    break;
  }
  return { built, permit: facts.permit_date ? span(bare(facts.permit_date)) : null, altered };
}
