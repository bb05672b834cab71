// What an enclosure whose map is marked done says to the rules; findings/rules/bindings_panels.py.
import { Binding, LOOKED, means, reachWords } from "./view.js";
import { isInt } from "./tree.js";

const DWELLING_A = [100, 400];
const FOUR = 4;
const PATHS = ["wire", "metal_raceway", "armour"];
const GROUND = new Map([...PATHS, "none"].map((kind) => [kind, kind]));
const JOINED = means({ joined: true, apart: false });
const HEAT = means({ yes: true, looked_none: false });
const MARKS = means({ al_cu: "AL-CU", cu_only: "CU", none: "none" });
const FRONT = means({ missing: false, in_place: true });
const SCREWS = means({ screws_wrong: true });
const LABELS = means({ complete: 1, partial: "0.5", none: 0, wrong: 0 });
const ROOMS = means({ bathroom: "bathroom", half_bath: "bathroom", stairs: "stairs" });
const NOTHING = new Map();
const [A, AWG, IN] = [{ unit: "A" }, { unit: "AWG" }, { unit: "in" }];

export function panel(view, tree, one) {
  return tree.done(one) ? ENCLOSURE.flatMap((look) => look(view, tree, one)) : [];
}

const at = (view, rule, one) => new Binding(view, rule, one, "panel");

function rating(view, tree, one) {
  if (tree.role(one) !== "service" || view.get(one, "phases") === "three") return [];
  // The dwelling allowance is for 120/240 V; 120/208 V services go without.
  if (view.get(one, "volts") === "120/208") return [];
  const found = at(view, "elec.service.rating", one);
  if (view.get(one, "main_kind") !== "lugs_only") found.take(view, "main_ocpd", one, "main_amps", A);
  else found.give({ disconnect_throws: tree.movements(one) });
  found.take(view, "sec_material", one, "conductor_material").take(view, "sec_size", one, "conductor_size", AWG);
  found.take(view, "sec_sets", one, "conductor_parallel").take(view, "panel_bus", one, "bus_amps", A);
  found.take(view, "meter_base", one, "meter_base_amps", A);
  const size = at(view, "elec.service.minimum_size", one);
  return [found, size.take(view, "service_disconnect_rating", one, "main_amps", A)];
}

function fed(view, tree, one) {
  if (tree.role(one) !== "fed") return [];
  const bus = at(view, "elec.panel.bus_vs_main", one).take(view, "panel_bus", one, "bus_amps", A);
  const ahead = view.get(one, "fed_by_space");
  bus.take(view, "supply_ocpd", ahead, "amps", A);
  if (view.get(one, "main_amps") !== null) bus.take(view, "supply_ocpd", one, "main_amps", A);
  bus.give({ supply_ocpd: tree.supplyAmps(one) });
  const feeder = feederOf(view, tree, one, ahead);
  feeder.take(view, "size", one, "conductor_size", AWG).take(view, "material", one, "conductor_material");
  return [bus, feeder];
}

function feederOf(view, tree, one, ahead) {
  const whole = tree.feedsOnly(one);
  const amps = view.get(ahead, "amps");
  if (whole && isInt(amps) && DWELLING_A[0] <= amps && amps <= DWELLING_A[1]) {
    const found = at(view, "elec.service.dwelling_conductors", one).take(view, "service_rating", ahead, "amps", A);
    return found.give({ carries_entire_dwelling_load: true });
  }
  return at(view, "elec.ocpd.standard_sizes", one).take(view, "ocpd", ahead, "amps", A);
}

function joined(view, tree, one) {
  const role = tree.role(one);
  if (role === null || tree.atOdds(one)) return [];
  const name = placeOfPanel(view, tree, one, role);
  if (name === null) return []; // a raceway may be the way back: nothing is concluded unseen
  const found = at(view, "elec.bond.main_vs_sub", one).give({ panel_role: name });
  found.take(view, "panel_role", one, "role", { words: NOTHING }).give({ panel_role: name });
  found.take(view, "bond_present", one, "neutral_and_ground", { words: JOINED });
  if (role !== "fed") return [found];
  const feeder = at(view, "elec.feeder.wire_count", one).give({ building: tree.detached(one) ? "detached" : "same" });
  feeder.take(view, "feeder_wires", one, "feeder_wires").take(view, "egc_kind", one, "feeder_ground", { words: GROUND });
  return [found, feeder.take(view, "neutral_bonded_there", one, "neutral_and_ground", { words: JOINED })];
}

function placeOfPanel(view, tree, one, role) {
  if (role === "service") return "service";
  if (!tree.detached(one)) return "sub_same_building";
  const ground = view.get(one, "feeder_ground");
  if (view.get(one, "feeder_wires") === FOUR || PATHS.includes(ground)) return "sub_detached_4wire";
  return ground === "none" ? "sub_detached_3wire" : null;
}

// Never asked of copper, so that an empty answer there stays empty.
function paste(view, tree, one) {
  if (!["aluminium", "copper_clad_aluminium"].includes(view.get(one, "conductor_material"))) return [];
  const found = at(view, "elec.aluminium.paste", one).take(view, "material", one, "conductor_material");
  found.take(view, "antioxidant_visible", one, "antioxidant", { words: LOOKED });
  const terminal = at(view, "elec.aluminium.terminal", one).give({ conductor_class: "stranded_feeder" });
  terminal.take(view, "terminal_marking", one, "terminal_marking", { words: MARKS });
  return [found, terminal.take(view, "heat_damage", one, "terminal_heat", { words: HEAT })];
}

function cover(view, tree, one) {
  const found = at(view, "elec.panel.openings", one);
  found.take(view, "dead_front_present", one, "cover", { words: FRONT });
  found.take(view, "screws_pointed", one, "cover", { words: SCREWS });
  found.take(view, "unused_openings", one, "openings_unfilled");
  const mapped = tree.spaces(one).filter((space) => view.get(space, "space_kind") === "open");
  if (mapped.length > (view.get(one, "openings_unfilled") ?? 0)) {
    for (const space of mapped) found.take(view, "unused_openings", space, "space_kind");
    found.give({ unused_openings: mapped.length });
  }
  return [found.give({ reach: reachWords(view.get(one, "top_device_height_in")) || null })];
}

function place(view, tree, one) {
  const directory = at(view, "elec.panel.directory", one);
  const labels = view.get(one, "labels");
  if (labels !== null) directory.give({ directory_present: labels !== "none", legible: true });
  directory.take(view, "fraction_identified", one, "labels", { words: LABELS });
  const space = at(view, "elec.panel.working_space", one);
  for (const name of ["width", "depth", "height"]) space.take(view, name, one, `working_${name}_in`, IN);
  const height = at(view, "elec.panel.height", one).take(view, "handle_height", one, "top_device_height_in", IN);
  const stop = view.get(one, "stop");
  const room = at(view, "elec.panel.location", one).give({ dwelling: true });
  if (ROOMS.has(view.get(stop, "room_use"))) room.take(view, "room", stop, "room_use", { words: ROOMS });
  return [directory, space, height, room];
}

function shutOff(view, tree, one) {
  if (tree.role(one) !== "service") return [];
  const found = at(view, "elec.disconnect.count", one).give({ same_enclosure: true });
  return [found.take(view, "disconnect_movements", one, "main_kind").give({ disconnect_movements: tree.movements(one) })];
}

function bars(view, tree, one) {
  const found = [];
  const neutral = at(view, "elec.terminal.neutral_bar", one).give({ conductor_mix: "neutral" });
  const doubled = view.get(one, "neutral_bar_doubled");
  neutral.take(view, "count", one, "neutral_bar_doubled");
  if (doubled !== null) found.push(neutral.give({ conductors: doubled ? 2 : 1 }));
  const most = view.get(one, "ground_bar_most_per_screw");
  if (most === null && !view.get(one, "ground_bar_doubled")) return found;
  const ground = at(view, "elec.terminal.neutral_bar", one).give({ conductor_mix: "ground" });
  ground.take(view, "conductors", one, "ground_bar_most_per_screw");
  ground.take(view, "label_allows", one, "ground_bar_label_allows");
  if (most === null) ground.take(view, "count", one, "ground_bar_doubled").give({ conductors: 2 });
  return [...found, ground.asking("label_allows")];
}

function electrode(view, tree, one) {
  if (tree.role(one) !== "service") return [];
  const size = at(view, "elec.gec.size", one).take(view, "service_size", one, "conductor_size", AWG);
  size.take(view, "service_material", one, "conductor_material").take(view, "gec_size", one, "gec_size", AWG);
  size.take(view, "gec_material", one, "gec_material");
  const bond = at(view, "elec.electrode.system", one);
  return [size, bond.take(view, "any_electrode_bond", one, "electrode_bond", { words: LOOKED })];
}

const ENCLOSURE = [rating, fed, joined, paste, cover, place, shutOff, bars, electrode];
