// Recorded facts that cannot both be so, named with their values and settled by nobody;
// findings/rules/contradictory.py. What two facts dispute reads as unknown meanwhile.
import { bare } from "../said.js";
import { fact, fieldWords } from "./view.js";

const HOUSE_V = 150; // more than one leg of a house gives
const NOTHING = ["no", "looked_none"];
// A heater in a garage may be electric and is none of them.
const BURNING = ["burner_room", "gas_line", "gas_vent", "wall_vent"];
const KIND_WORDS = { burner_room: "room with gas appliances" };
const GAS_EQUIPMENT = ["furnace_gas", "furnace_oil", "boiler_gas", "range_gas"];
const MAIN_DEVICES = ["breaker", "fuses", "pull_out"];
const spaced = (value) => bare(value).replaceAll("_", " ");

// Every pair of a visit, in one fixed order: [{say, between, unsure, houseDate}].
export const found = (view, facts) => LOOKS.flatMap((look) => [...look(view, facts)]);

// The fields that read as unknown: id -> field -> values; two values, or a fact in dispute.
export function unsettled(disputed, apart) {
  const all = new Map([...disputed].map(([id, fields]) => [id, new Map(fields)]));
  for (const [id, name] of apart.flatMap((one) => one.unsure)) {
    if (!all.has(id)) all.set(id, new Map());
    if (!all.get(id).has(name)) all.get(id).set(name, []);
  }
  return all;
}

// The property's facts, without a date that another fact disputes.
export function dated(facts, apart) {
  if (!apart.some((one) => one.houseDate)) return facts;
  const { built_from, built_to, permit_date, ...rest } = facts;
  return rest;
}

const shown = (view, [id, name]) => fact(id, name, view.get(id, name), view.how(id, name), fieldWords(name));

function pair(view, say, one, other, unsure = [one, other]) {
  return { say: `${say}: which of the two holds?`, between: [shown(view, one), shown(view, other)], unsure };
}

function builtOf(view, facts) {
  const visit = view.only("visit");
  const first = facts.built_from || view.get(visit, "built_year");
  const last = facts.built_to || view.get(visit, "built_year_to");
  return [first || last, last || first];
}

const YEARS = ["built_year", "built_year_to"];

function* house(view, facts) {
  const [first, last] = builtOf(view, facts);
  const visit = view.only("visit") || "visit";
  if (!first || !last || first <= last) return;
  yield {
    say: `the house is dated from ${first} to ${last}, backwards: which year holds?`,
    between: [fact(visit, "built_year", first, "told", "built, first year"), fact(visit, "built_year_to", last, "told", "built, last year")],
    unsure: YEARS.map((name) => [visit, name]),
    houseDate: true,
  };
}

function* ageNotes(view, facts) {
  const [built] = builtOf(view, facts);
  const visit = view.only("visit") || "visit";
  for (const note of view.all("age_note")) {
    const [first, last] = [view.get(note, "year_from"), view.get(note, "year_to")];
    const both = [[note, "year_from"], [note, "year_to"]];
    const latest = last || first;
    if (first && last && first > last) yield pair(view, `a note on age runs from ${first} to ${last}, backwards`, ...both);
    else if (built && latest && view.get(note, "reach") !== "house" && latest < built) {
      yield {
        say: `work of ${latest} at the latest, in a house built in ${built} at the earliest: which of the two holds?`,
        between: [
          fact(note, last ? "year_to" : "year_from", latest, view.how(note, "year_to"), "age note, last year"),
          fact(visit, "built_year", built, "told", "built, first year"),
        ],
        unsure: [...both, ...YEARS.map((name) => [visit, name])],
        houseDate: true,
      };
    }
  }
}

function* alarms(view) {
  for (const look of view.all("alarm_look")) {
    const [kind, stop] = [view.get(look, "alarm_kind"), view.get(look, "stop")];
    for (const alarm of view.all("alarm")) {
      const other = view.get(alarm, "alarm_kind");
      const here = stop === null || view.get(alarm, "stop") === stop;
      if (!here || kind === null || other === null || (kind !== other && ![kind, other].includes("both"))) continue;
      const say = `looked for (${spaced(kind).replaceAll("both", "alarm of any kind")}) and found none, and yet an alarm is recorded`;
      const at = view.place(alarm);
      yield pair(view, at ? `${say} (${at})` : say, [look, "answer"], [alarm, "alarm_kind"], [[look, "answer"]]);
    }
  }
}

function* observations(view) {
  const asked = new Map();
  for (const one of view.all("observation")) {
    const what = view.get(one, "what");
    const key = `${bare(view.get(one, "stop"))}\n${bare(what)}`;
    if (what) asked.set(key, [...(asked.get(key) ?? []), one]);
  }
  for (const records of asked.values()) {
    for (const [at, one] of records.entries()) for (const other of records.slice(at + 1)) yield* answers(view, one, other);
  }
}

function* answers(view, one, other) {
  const said = [one, other].map((record) => view.get(record, "answer"));
  if (!said.includes("yes") || !said.some((answer) => NOTHING.includes(answer))) return;
  const words = said.map(spaced).join(" and ");
  yield pair(view, `${spaced(view.get(one, "what"))} is answered twice, ${words}`, [one, "answer"], [other, "answer"]);
}

// The first thing that burns something: [field, words], or nothing.
function burningOf(view) {
  for (const kind of BURNING) {
    for (const record of view.all(kind)) {
      if (view.get(record, "appliance") !== "grill") return [[record, kind === "gas_line" ? "appliance" : "place"], KIND_WORDS[kind] ?? spaced(kind)];
    }
  }
  const record = view.all("equipment").find((one) => GAS_EQUIPMENT.includes(view.get(one, "equipment_kind")));
  return record ? [[record, "equipment_kind"], spaced(view.get(record, "equipment_kind"))] : null;
}

function* fuel(view) {
  const burning = burningOf(view);
  for (const one of burning ? view.all("observation") : []) {
    if (view.get(one, "what") !== "fuel_appliance" || !NOTHING.includes(view.get(one, "answer"))) continue;
    const say = `no fuel-burning appliance was found, and yet a ${burning[1]} is recorded`;
    yield pair(view, say, [one, "answer"], burning[0], [[one, "answer"]]);
  }
}

function* role(view) {
  for (const one of view.all("enclosure")) {
    if (view.get(one, "role") !== "service_disconnect") continue;
    const [name, ahead] = aheadOf(view, one);
    // Where both are called the first shut-off, the tree of panels says so.
    if (ahead === null || ahead === one || view.get(ahead, "role") === "service_disconnect") continue;
    const say = `${view.place(one)} is called the main shut-off, and yet a breaker in ${view.place(ahead)} feeds it`;
    yield pair(view, say, [one, "role"], [one, name], ["role", "fed_by_space", "fed_from"].map((field) => [one, field]));
  }
}

// Which field says what feeds an enclosure, and the one ahead that can shut it off.
function aheadOf(view, one) {
  const bySpace = view.get(view.get(one, "fed_by_space"), "enclosure");
  if (bySpace !== null) return ["fed_by_space", bySpace];
  const ahead = view.get(one, "fed_from");
  const able = view.get(ahead, "main_amps") !== null || MAIN_DEVICES.includes(view.get(ahead, "main_kind"));
  return ["fed_from", ahead && able ? ahead : null];
}

// Of one run of wire, what is said at its breaker and where it arrives.
function* feeder(view) {
  for (const one of view.all("enclosure")) {
    const space = view.get(one, "fed_by_space");
    for (const [here, there] of [["conductor_size", "size"], ["conductor_material", "material"]]) {
      const fields = [[space, there], [one, here]];
      const values = fields.map((field) => view.get(...field));
      if (space === null || values.includes(null)) continue;
      if (space && fields.some((field) => ["not_seen", "estimated"].includes(view.how(...field)))) continue;
      if (values[0] === values[1] || (view.get(one, "conductor_parallel") || 1) !== 1) continue;
      const [leaving, arriving] = values.map((value) => spaced(value).replaceAll("aluminium", "aluminum"));
      yield pair(view, `the feeder of ${view.place(one)} is recorded as ${leaving} at its breaker and as ${arriving} where it arrives`, ...fields);
    }
  }
}

function* volts(view) {
  for (const space of view.all("space")) {
    const [poles, plate] = [view.get(space, "poles"), view.get(space, "plate_volts") || 0];
    if (poles === 1 && plate > HOUSE_V) yield pair(view, `${plate} V on the plate, and a breaker of one pole, which gives 120`, [space, "plate_volts"], [space, "poles"]);
    const panel = view.get(space, "enclosure");
    if (poles && poles > 1 && view.get(panel, "volts") === "120") yield pair(view, `a breaker with ${poles} poles in a panel of 120 V`, [space, "poles"], [panel, "volts"]);
  }
}

// Of one house's hot water, by the heater and by the gauge.
function* expansion(view) {
  for (const heater of view.all("water_heater")) {
    for (const reading of view.all("water_reading")) {
      const said = [heater, reading].map((one) => view.get(one, "expansion"));
      if (!said.includes("present") || !said.includes("looked_none")) continue;
      const [with_, none] = said[0] === "looked_none" ? ["gauge", "heater"] : ["heater", "gauge"];
      const say = `a device for expansion is recorded with the ${with_}, and none was found by the entry of the ${none}`;
      yield pair(view, say, [heater, "expansion"], [reading, "expansion"]);
    }
  }
}

const COUNTS = [["receptacles_correct", "receptacles_tried", "correct", "tried"], ["receptacles_tried", "receptacles_seen", "tried", "seen"]];

function* counts(view) {
  for (const stop of view.all("stop")) {
    for (const [less, more, part, whole] of COUNTS) {
      const [few, many] = [view.get(stop, less), view.get(stop, more)];
      if (few !== null && many !== null && few > many) yield pair(view, `${few} receptacles ${part} and only ${many} ${whole}`, [stop, less], [stop, more]);
    }
  }
}

const LOOKS = [house, ageNotes, alarms, observations, fuel, role, feeder, volts, expansion, counts];
