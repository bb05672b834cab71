// What a space of a panel whose map is marked done says; findings/rules/bindings_panels.py.
import { bare } from "../said.js";
import { DEVICES, isInt } from "./tree.js";
import { Binding, LOOKED, means } from "./view.js";

const SMALL = ["14", "12", "10"];
const SHARED = 2; // wires under one screw
const GENERAL = ["general", "kitchen", "bathroom", "laundry", "range", "dryer", "water_heater", "heat", "feeder", "garage", "outside"];
const LOAD_TYPES = new Map([...GENERAL.map((load) => [load, "general"]), ["cooling", "motor_ac"]]);
const ROOM_WORDS = { bed: "bedroom", living: "living", family: "family", dining: "dining", den: "den", office: "office", hall: "hall" };
const VOLTS = new Map([[1, 120], [2, 240]]);
const FOR_TWO = new Map([[1, false], [2, true], [3, true], [4, true]]);
const LEGS = means({ same: "same", opposite: "opposite" });
const ARC = means({ none: false, gfci: false, afci: true, dual: true });
const [A, AWG] = [{ unit: "A" }, { unit: "AWG" }];

export function space(view, tree, one) {
  const enclosure = view.get(one, "enclosure");
  const known = view.row(enclosure ?? "").kind === "enclosure";
  return known && tree.done(enclosure) ? SPACE.flatMap((look) => look(view, one)) : [];
}

function at(view, rule, one) {
  const enclosure = view.get(one, "enclosure") || "";
  const number = view.get(one, "number");
  const name = view.place(enclosure);
  const place = number ? `${name}, space ${bare(number)}` : name;
  return new Binding(view, rule, one, "breaker", { place, stop: bare(view.get(enclosure, "stop") || "") });
}

const inUse = (view, one) => DEVICES.includes(view.get(one, "space_kind"));
const labelOf = (view, one) => ({ label: view.get(one, "label") || null });

function overcurrent(view, one) {
  if (!inUse(view, one)) return [];
  const load = view.get(one, "load");
  const feeds = view.all("enclosure").filter((panel) => view.get(panel, "fed_by_space") === one);
  if (load === "cooling" && view.get(one, "plate_mocp") !== null) return [cooling(view, one)];
  const heater = load === "water_heater" && view.get(one, "plate_watts") !== null ? [waterHeater(view, one)] : [];
  const size = view.get(one, "size");
  const small = SMALL.includes(size);
  if (size === null && !view.inDispute(one, "size")) return heater;
  if (feeds.length && !small) return heater; // judged once, at the enclosure it feeds
  const found = at(view, small ? "elec.ocpd.small_conductor" : "elec.ocpd.standard_sizes", one);
  found.take(view, "ocpd", one, "amps", A).take(view, "size", one, "size", AWG).take(view, "material", one, "material");
  found.give(labelOf(view, one));
  if (small) found.take(view, "load_type", one, "load", { words: LOAD_TYPES }).asking("load_type");
  else if (view.get(one, "poles") === 1) found.give({ multi_outlet_receptacle_circuit: true });
  return [...heater, found];
}

function cooling(view, one) {
  const found = at(view, "elec.hvac.nameplate", one).take(view, "mca", one, "plate_mca", A).take(view, "mocp", one, "plate_mocp", A);
  found.take(view, "ocpd", one, "amps", A).take(view, "conductor_size", one, "size", AWG);
  return found.take(view, "material", one, "material");
}

function waterHeater(view, one) {
  const found = at(view, "elec.water_heater.circuit", one).take(view, "watts", one, "plate_watts", { unit: "W" });
  found.take(view, "volts", one, "poles", { words: VOLTS }).take(view, "poles", one, "poles");
  // What the plate says stands before what the poles suggest.
  if (view.get(one, "plate_volts")) found.take(view, "volts", one, "plate_volts", { unit: "V" });
  found.take(view, "ocpd", one, "amps", A).take(view, "conductor_size", one, "size", AWG);
  return found.take(view, "material", one, "material");
}

function screw(view, one) {
  if (!inUse(view, one) || (view.get(one, "under_screw") ?? 0) < SHARED) return [];
  const found = at(view, "elec.terminal.double_tap_breaker", one).take(view, "conductors", one, "under_screw");
  found.take(view, "breaker_amps", one, "amps", A).take(view, "terminal_marked_for_two", one, "screw_allows", { words: FOR_TWO });
  return [found.give(labelOf(view, one)).asking("terminal_marked_for_two")];
}

function solidAluminium(view, one) {
  if (view.get(one, "material") !== "aluminium") return [];
  const found = at(view, "elec.aluminium.branch", one).take(view, "material", one, "material");
  return [found.take(view, "solid_or_stranded", one, "stranding").take(view, "size", one, "size", AWG)];
}

function arcFault(view, one) {
  const load = view.get(one, "load");
  const label = bare(view.get(one, "label") || "").toLowerCase();
  const named = Object.entries(ROOM_WORDS).find(([word]) => label.includes(word))?.[1];
  const room = ["kitchen", "laundry"].includes(load) ? load : named;
  if (!inUse(view, one) || !room || view.get(one, "poles") !== 1) return [];
  const found = at(view, "elec.afci.location", one).give({ room }).take(view, "room", one, "label").give({ room });
  return [found.take(view, "protected", one, "protection", { words: ARC })];
}

// Why a device was found off or tripped is asked; a damaged one is told.
function state(view, one) {
  if (!inUse(view, one) || [null, "on"].includes(view.get(one, "state"))) return [];
  const found = at(view, "elec.breaker.state", one).take(view, "state", one, "state");
  return [found.take(view, "why_so", one, "state_reason", { label: "why it was so" }).give(labelOf(view, one))];
}

function sharedNeutral(view, one) {
  if (!inUse(view, one) || view.get(one, "neutral_shared") !== true) return [];
  const found = at(view, "elec.multiwire", one).give({ hots: 2 });
  const poles = view.get(one, "poles");
  found.take(view, "ocpd_each", one, "amps", A).take(view, "legs", one, "neutral_legs", { words: LEGS, label: "legs of the two hots" });
  found.take(view, "common_trip_or_tie", one, "handle_tie", { words: LOOKED });
  if (isInt(poles) && poles > 1) {
    // One body across two spaces stands on opposite legs and trips as one.
    found.take(view, "common_trip_or_tie", one, "poles").give({ common_trip_or_tie: true });
    if (!("legs" in found.inputs)) found.give({ legs: "opposite" });
  }
  return [found.asking("legs", "common_trip_or_tie")];
}

const SPACE = [overcurrent, screw, solidAluminium, arcFault, state, sharedNeutral];
