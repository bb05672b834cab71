// What receptacles, walls, boxes and wiring say; findings/rules/bindings_receptacles.py.
import { compare, divide, mul, parse, rounded, toWire } from "../exact.js";
import { guarded, lampStates, low, pattern } from "./tree.js";
import { ANSWER, Binding, YES_NO, fact, means, reachWords } from "./view.js";

const TRIED = means({ yes: "trips", no: "no_trip", not_tried: "not_done" });
const PLACES = {
  bathroom: "bathroom", counter: "kitchen_counter", laundry: "laundry_area", garage: "garage", outside: "outdoor",
  basement_unfinished: "basement_unfinished", under_floor: "crawl_space_at_or_below_grade",
};
const FROM_AHEAD = means({ upstream: true, breaker: true, device: false, none: false });
const NO_BUTTON = means({ upstream: "no_button", breaker: "no_button", none: "no_button" });
const SLOTS = means({ two: 2, three: 3 });
const COVERS = means({ in_use: "in_use", flap: "flip", none: "none" });
const ISLANDS = ["island", "peninsula"];
const AT_SINK = {
  kitchen: "any_sink_incl_kitchen_non_counter_within_6ft", laundry: "laundry_or_utility_sink_within_6ft", utility: "laundry_or_utility_sink_within_6ft",
};
const whole = (number) => ({ n: BigInt(number), d: 1n });
const [NEAR_SINK_IN, CEILING_IN, FOOT_IN] = [whole(72), whole(78), whole(12)]; // the ceiling is beyond an arm
const [FT, IN] = [{ unit: "ft" }, { unit: "in" }];
const at = (view, rule, one) => new Binding(view, rule, one, "receptacle");

export function receptacle(view, tree, one) {
  return view.closed(view.get(one, "stop")) ? RECEPTACLE.flatMap((look) => look(view, one)) : [];
}

function lamps(view, one) {
  const states = lampStates(view, one);
  if (states === null) return [];
  const lit = (view.get(one, "lamps") ?? []).length > 0;
  const found = at(view, "elec.tester.decode", one).take(view, "lamps", one, lit ? "lamps" : "lamps_none");
  found.take(view, "slots", one, "contacts", { words: SLOTS });
  delete found.inputs.lamps;
  found.give(states);
  if (!lit) found.take(view, "checked_upstream", one, "repeated").asking("checked_upstream");
  const exchanged = states.lamp_NG === "on" && states.lamp_HG === "on";
  // Nearly always an open neutral with a load: unplug, try again, then say.
  if (exchanged && [null, "yes", "unknown"].includes(view.get(one, "load_present"))) found.also.push([one, "load_present"]);
  return [found];
}

function twoSlots(view, one) {
  if (view.get(one, "contacts") !== "two") return [];
  const place = PLACES[view.get(one, "receptacle_kind")] ?? "other";
  const found = at(view, "elec.receptacle.grounding_history", one);
  return [found.take(view, "slots", one, "contacts", { words: SLOTS }).give({ place })];
}

function groundFaultTest(view, one) {
  const found = at(view, "elec.gfci.test", one);
  found.take(view, "device_button", one, "gfci_own_button_trips", { words: TRIED });
  if (!("device_button" in found.inputs)) found.take(view, "device_button", one, "gfci_kind", { words: NO_BUTTON });
  found.take(view, "tester_button", one, "gfci_tester_trips", { words: TRIED });
  found.take(view, "reset_ok", one, "gfci_resets", { words: YES_NO });
  const tried = [found.inputs.device_button, found.inputs.tester_button];
  if (view.get(one, "gfci_kind") === "none" || !tried.some((told) => told === "trips" || told === "no_trip")) return [];
  found.sources.pattern = fact(one, "lamps", view.get(one, "lamps"), "seen", "lamps lit");
  found.give({ pattern: pattern(view, one) });
  found.take(view, "said_protected", one, "gfci_kind", { words: FROM_AHEAD });
  found.take(view, "ahead", one, "protected_by", { label: "the device ahead of it" });
  // Said to be guarded from ahead and not proved: what would prove it is asked.
  return [found.asking("pattern", "ahead")];
}

// The place that decides about ground-fault protection, or null.
function locationOf(view, one) {
  const kind = view.get(one, "receptacle_kind");
  const stop = view.get(one, "stop");
  const use = view.get(stop, "room_use");
  if (["bathroom", "half_bath"].includes(use)) return "bathroom";
  if (kind in PLACES) return PLACES[kind];
  if (ISLANDS.includes(kind)) {
    const near = parse(view.get(one, "sink_distance_in"));
    return near && compare(near, NEAR_SINK_IN) <= 0 ? "kitchen_island_within_6ft_of_sink" : "kitchen_counter_all";
  }
  if (view.get(stop, "stop_kind") === "garage") return "garage";
  return kind === "sink" ? AT_SINK[use] ?? "any_sink_not_kitchen_within_6ft" : null;
}

const inFeet = (inches, places) => toWire(rounded(divide(inches, FOOT_IN), places));

function groundFaultPlace(view, one) {
  const where = locationOf(view, one);
  // A device that is there and fails is a hazard now; the calendar adds nothing.
  if (where === null || view.get(one, "gfci_own_button_trips") === "no") return [];
  const found = at(view, "elec.gfci.location", one).take(view, "location", one, "receptacle_kind").give({ location: where });
  found.take(view, "distance_to_sink", one, "sink_distance_in", IN);
  const inches = parse(view.get(one, "sink_distance_in"));
  if (inches) found.give({ distance_to_sink: inFeet(inches, 3) });
  const high = parse(view.get(one, "reach_height_in"));
  if (where === "garage" && high && compare(high, CEILING_IN) > 0) {
    found.take(view, "not_readily_accessible", one, "reach_height_in", IN).give({ not_readily_accessible: true });
  }
  if (view.get(one, "receptacle_kind") === "dedicated") found.give({ dedicated_single_receptacle: true });
  return [found.take(view, "protected", one, "gfci_kind").give({ protected: guarded(view, one) })];
}

function shutters(view, one) {
  const found = at(view, "elec.receptacle.tamper", one);
  const height = parse(view.get(one, "reach_height_in"));
  if (height) found.give({ height: inFeet(height, 2) });
  found.give({ dedicated_appliance: view.get(one, "receptacle_kind") === "dedicated" });
  return [found.take(view, "tr_mark", one, "tamper_resistant", { words: YES_NO })];
}

function weather(view, one) {
  if (!COVERS.has(view.get(one, "weather_cover"))) return [];
  const found = at(view, "elec.receptacle.weather", one).give({ exposure: "wet" });
  return [found.take(view, "cover", one, "weather_cover", { words: COVERS })];
}

const plate = (view, one) => (view.get(one, "cover") === null ? [] : [coverPlate(view, one, "reach_height_in")]);

function coverPlate(view, one, height) {
  const found = at(view, "elec.receptacle.cover_plate", one).take(view, "cover", one, "cover");
  found.take(view, "low_reach", one, height, IN).give({ low_reach: low(view.get(one, height)) });
  found.take(view, "live_parts_seen", one, "live_parts_seen", { words: YES_NO });
  return found.give({ reach: reachWords(view.get(one, height)) || null });
}

const RECEPTACLE = [lamps, twoSlots, groundFaultTest, groundFaultPlace, shutters, weather, plate];

// Spacing along a wall, railing, counter or island of a stop that was left.
export function wall(view, tree, one) {
  if (!view.closed(view.get(one, "stop"))) return [];
  const kind = view.get(one, "wall_kind");
  if (ISLANDS.includes(kind)) return [island(view, one)];
  if (kind === "counter") return [counter(view, one)];
  return ["wall", "railing", "fixed_glass"].includes(kind) ? spacing(view, one, kind) : [];
}

function spacing(view, one, kind) {
  const room = view.get(view.get(one, "stop"), "room_use");
  // A railing at a stair or loft edge is read differently from town to town.
  if (kind === "railing" && room === "stairs") return [];
  const found = new Binding(view, "elec.receptacle.spacing", one, "wall").take(view, "unbroken_wall_length", one, "length_ft", FT);
  return [found.take(view, "receptacle_positions", one, "receptacles_at_ft", FT).give({ room })];
}

const inInches = (feet) => {
  const number = parse(feet);
  return number && toWire(mul(number, FOOT_IN));
};

function counter(view, one) {
  const found = new Binding(view, "elec.receptacle.counter", one, "counter").take(view, "counter_length", one, "length_ft", FT);
  found.take(view, "receptacle_positions", one, "receptacles_at_ft", FT);
  found.give({ counter_length: inInches(view.get(one, "length_ft")) });
  const places = view.get(one, "receptacles_at_ft");
  return Array.isArray(places) ? found.give({ receptacle_positions: places.map(inInches) }) : found;
}

function island(view, one) {
  const found = new Binding(view, "elec.receptacle.island", one, "island").take(view, "kind", one, "wall_kind");
  found.take(view, "long_dim", one, "long_in", IN).take(view, "short_dim", one, "short_in", IN);
  return found.take(view, "receptacles", one, "receptacles_at_ft");
}

const ITEM = { switch: "switch", luminaire: "light", receptacle: "receptacle" };
const UNCOVERED = means({ missing: 1, broken: 1, in_place: 0 });
const SPLICE = means({ open_splice: 1 });

// A junction box, splice or cover plate, with reach as context.
export function box(view, tree, one) {
  const kind = view.get(one, "box_kind");
  if (kind in ITEM) return [Object.assign(coverPlate(view, one, "height_in"), { item: ITEM[kind] })];
  const found = new Binding(view, "elec.box.covers", one, "box").take(view, "uncovered_boxes", one, "cover", { words: UNCOVERED });
  if (kind === "open_splice") found.take(view, "splices_outside", one, "box_kind", { words: SPLICE });
  found.take(view, "live_parts_seen", one, "live_parts_seen", { words: YES_NO });
  found.take(view, "low_reach", one, "height_in", IN).give({ low_reach: low(view.get(one, "height_in")) });
  return [found.give({ reach: reachWords(view.get(one, "height_in")) || null })];
}

const OF_KNOBS = means({ knob_and_tube: true });
const FOR_COPPER = means({ cu_only: true, co_alr: false, al_cu: false });
const BOTH = means({ co_alr: "CO/ALR", al_cu: "AL-CU" });

// Branch wiring as it was seen: aluminum, porcelain knobs.
export function wiring(view, tree, one) {
  const said = [];
  if (view.get(one, "method") === "knob_and_tube") said.push(new Binding(view, "elec.knob_tube", one, "wiring").take(view, "present", one, "method", { words: OF_KNOBS }));
  if (view.get(one, "material") !== "aluminium") return said;
  const found = new Binding(view, "elec.aluminium.branch", one, "wiring").take(view, "material", one, "material");
  found.take(view, "solid_or_stranded", one, "stranding").take(view, "size", one, "sizes");
  const sizes = view.get(one, "sizes") ?? [];
  found.give({ size: ["12", "10"].find((size) => sizes.includes(size)) ?? null });
  found.take(view, "heat_damage", one, "heat_damage", { words: ANSWER });
  found.take(view, "cu_only_devices", one, "device_marking", { words: FOR_COPPER });
  return [...said, found, ...smallDevices(view, one, sizes)];
}

// Devices of 15 and 20 A on solid aluminum; those for copper only speak above.
function smallDevices(view, one, sizes) {
  if (view.get(one, "stranding") !== "solid" || !sizes.includes("12") || !BOTH.has(view.get(one, "device_marking"))) return [];
  const found = new Binding(view, "elec.aluminium.terminal", one, "wiring").give({ conductor_class: "solid_branch" });
  found.take(view, "terminal_marking", one, "device_marking", { words: BOTH }).take(view, "device_amps", one, "sizes");
  return [found.give({ device_amps: 20 })];
}
