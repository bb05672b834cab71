// What a panel space and a receptacle say to the rules while they are typed, gathered as
// findings/rules/bindings_panels.py and bindings_receptacles.py do for the server.
const IN_USE = new Set(["breaker", "fuse", "pull_out"]);
const SMALL = new Set(["14", "12", "10"]);
const LOADS = new Map([
  ...["general", "kitchen", "bathroom", "laundry", "range", "dryer", "water_heater", "heat", "feeder", "garage", "outside"].map((load) => [load, "general"]),
  ["cooling", "motor_ac"],
]);
const TRIED = { yes: "trips", no: "no_trip", not_tried: "not_done" };
const YES_NO = { yes: true, no: false };
const AHEAD = { upstream: true, breaker: true, device: false };
const known = (value) => value ?? null;

function space(values, data) {
  if (!IN_USE.has(values.space_kind)) return [];
  return [...overcurrent(values, data), ...screw(values)];
}

function overcurrent(values, data) {
  const { size, load } = values;
  if (!size || values.how === "not_seen" || values.how === "estimated") return [];
  if (load === "cooling" && values.plate_mocp) return [];
  const small = SMALL.has(size);
  if (data.feeds === "yes" && !small) return []; // judged once, at the enclosure it feeds
  const given = { ocpd: known(values.amps), size, material: known(values.material), label: known(values.label) };
  if (small) {
    given.load_type = LOADS.get(load) ?? null;
    return [{ rule: "elec.ocpd.small_conductor", given, asks: ["load_type"] }];
  }
  if (values.poles === "1") given.multi_outlet_receptacle_circuit = true;
  return [{ rule: "elec.ocpd.standard_sizes", given, asks: [] }];
}

function screw(values) {
  if (!(Number(values.under_screw) >= 2)) return [];
  const allows = Number(values.screw_allows);
  const given = { conductors: values.under_screw, breaker_amps: known(values.amps), label: known(values.label) };
  if (allows >= 1) given.terminal_marked_for_two = allows >= 2;
  return [{ rule: "elec.terminal.double_tap_breaker", given, asks: ["terminal_marked_for_two"] }];
}

function receptacle(values) {
  const lit = lamps(values);
  return [...decoded(values, lit), ...tested(values, lit)];
}

function lamps(values) {
  const lit = [values.lamps ?? []].flat();
  if (!lit.length && !values.lamps_none) return null;
  const state = (name) => (lit.includes(name) ? "on" : "off");
  return { lamp_NG: state("neutral_ground"), lamp_HN: state("hot_neutral"), lamp_HG: state("hot_ground") };
}

function decoded(values, lit) {
  if (!lit) return [];
  const given = { ...lit, slots: { two: 2, three: 3 }[values.contacts] ?? null };
  const dark = Object.values(lit).every((state) => state === "off");
  if (dark && values.repeated) given.checked_upstream = true;
  return [{ rule: "elec.tester.decode", given, asks: dark ? ["checked_upstream"] : [] }];
}

function tested(values, lit) {
  const kind = values.gfci_kind;
  const given = {
    device_button: TRIED[values.gfci_own_button_trips] ?? (kind === "upstream" || kind === "breaker" ? "no_button" : null),
    tester_button: TRIED[values.gfci_tester_trips] ?? null,
    reset_ok: YES_NO[values.gfci_resets] ?? null,
    pattern: pattern(lit),
    said_protected: AHEAD[kind] ?? null,
  };
  const tried = [given.device_button, given.tester_button].some((one) => one === "trips" || one === "no_trip");
  return kind === "none" || !tried ? [] : [{ rule: "elec.gfci.test", given, asks: ["pattern"] }];
}

function pattern(lit) {
  if (!lit || lit.lamp_HN !== "on" || lit.lamp_NG === "on") return null;
  return lit.lamp_HG === "on" ? "correct" : "open_ground";
}

export const GATHERED = { space, receptacle };
