// The electrical system as a tree, from the meter down, and protection inherited: tree.py.
import { compare, parse } from "../exact.js";

const CHILD_REACH_IN = { n: 60n, d: 1n }; // a small child on the floor or on a chair; common practice
const OUTBUILDING = ["detached", "outbuilding", "shed", "barn"];
const PROTECTING = ["gfci", "dual"];
export const DEVICES = ["breaker", "fuse", "pull_out"];
const MAINS = ["breaker", "fuses", "pull_out"];
export const isInt = (value) => Number.isInteger(value);

export class Tree {
  constructor(view) {
    this.view = view;
    this.parents = new Map();
    this.held = new Map();
    this.contradictions = []; // [record, other, what]
  }

  #note(token) {
    this.view.reads?.add(`tree:${token}`);
  }

  parent(enclosure) {
    this.#note(enclosure);
    return this.parents.get(enclosure) ?? null;
  }

  spaces(enclosure) {
    this.#note(enclosure);
    return this.held.get(enclosure) ?? [];
  }

  // Whether it stands in a loop, or is one of two first shut-offs in a row.
  atOdds(enclosure) {
    this.#note(enclosure);
    return this.contradictions.some(([one, other]) => one === enclosure || other === enclosure);
  }

  // Service or fed, from what was said or from what feeds it.
  role(enclosure) {
    const said = this.view.get(enclosure, "role");
    if (said === "service_disconnect") return "service";
    return said === "fed_from_panel" || this.parent(enclosure) !== null ? "fed" : null;
  }

  detached(enclosure) {
    const words = this.view.place(enclosure).toLowerCase();
    return OUTBUILDING.some((word) => words.includes(word));
  }

  // Whether its map was marked done.
  done(enclosure) {
    return this.view.get(enclosure, "map_done") === true;
  }

  // The smallest known device ahead of or in an enclosure.
  supplyAmps(enclosure) {
    const own = this.view.get(enclosure, "main_amps");
    const ahead = this.view.get(this.view.get(enclosure, "fed_by_space"), "amps");
    const known = [own, ahead].filter(isInt);
    return known.length ? Math.min(...known) : null;
  }

  // Whether its parent is the service and feeds nothing else.
  feedsOnly(enclosure) {
    const parent = this.parent(enclosure);
    if (parent === null || this.role(parent) !== "service") return false;
    const own = this.view.get(enclosure, "fed_by_space");
    const others = this.handles(parent).filter((space) => space !== own);
    this.#note("*");
    const siblings = [...this.parents].filter(([, up]) => up === parent);
    return !others.length && siblings.length === 1 && siblings[0][0] === enclosure;
  }

  handles(enclosure) {
    return this.spaces(enclosure).filter((space) => DEVICES.includes(this.view.get(space, "space_kind")));
  }

  // Movements of the hand that shut everything off at the service.
  movements(enclosure) {
    const kind = this.view.get(enclosure, "main_kind");
    if (MAINS.includes(kind)) return 1;
    return kind === "lugs_only" ? this.handles(enclosure).length : null;
  }

  // Of each enclosure what it hangs on and what is in it, as text to be compared.
  outline() {
    const all = new Set([...this.parents.keys(), ...this.held.keys(), ...this.contradictions.flatMap(([one, other]) => [one, other])]);
    return new Map([...all].map((one) => [one, JSON.stringify([this.parents.get(one) ?? null, this.held.get(one) ?? [], this.atOdds(one)])]));
  }
}

// The tree of a visit; a loop or two services in a row is a contradiction.
export function build(view) {
  const tree = new Tree(view);
  for (const space of view.all("space")) {
    const enclosure = view.get(space, "enclosure");
    if (enclosure) tree.held.set(enclosure, [...(tree.held.get(enclosure) ?? []), space]);
  }
  for (const enclosure of view.all("enclosure")) {
    const ahead = view.get(enclosure, "fed_from") || view.get(view.get(enclosure, "fed_by_space"), "enclosure");
    if (view.has(ahead) && ahead !== enclosure) tree.parents.set(enclosure, ahead);
  }
  for (const enclosure of [...tree.parents.keys()]) lookUp(tree, enclosure);
  return tree;
}

function lookUp(tree, enclosure) {
  const seen = new Set([enclosure]);
  for (let at = tree.parents.get(enclosure); at !== undefined; at = tree.parents.get(at)) {
    if (seen.has(at)) {
      tree.contradictions.push([enclosure, at, "each is said to feed the other"]);
      tree.parents.delete(enclosure);
      return;
    }
    seen.add(at);
  }
  const ahead = tree.parents.get(enclosure);
  if ([enclosure, ahead].every((one) => tree.view.get(one, "role") === "service_disconnect")) {
    tree.contradictions.push([enclosure, ahead, "both are called the main shut-off though one feeds the other"]);
  }
}

const LAMPS = [["lamp_NG", "neutral_ground"], ["lamp_HN", "hot_neutral"], ["lamp_HG", "hot_ground"]];

// The three lamps as on or off, or null when nothing was tried.
export function lampStates(view, receptacle) {
  const lit = view.get(receptacle, "lamps") ?? [];
  if (!lit.length && view.get(receptacle, "lamps_none") !== true) return null;
  return Object.fromEntries(LAMPS.map(([lamp, name]) => [lamp, lit.includes(name) ? "on" : "off"]));
}

// open_ground or correct, the two that a ground-fault test turns on.
export function pattern(view, receptacle) {
  const states = lampStates(view, receptacle);
  if (states === null || states.lamp_NG === "on" || states.lamp_HN !== "on") return null;
  return states.lamp_HG === "on" ? "correct" : "open_ground";
}

// Whether ground-fault protection covers a receptacle, by its own or from ahead.
export function guarded(view, receptacle) {
  if (view.get(receptacle, "gfci_own_button_trips") === "no") return false;
  if (trips(view, receptacle) || guardedFromAhead(view, receptacle)) return true;
  return view.get(receptacle, "gfci_kind") === "none" ? false : null;
}

const trips = (view, one) => view.get(one, "gfci_own_button_trips") === "yes" || view.get(one, "gfci_tester_trips") === "yes";

function guardedFromAhead(view, receptacle) {
  if (PROTECTING.includes(view.get(view.get(receptacle, "circuit_space"), "protection"))) return true;
  const ahead = view.get(receptacle, "protected_by");
  if (ahead && trips(view, ahead)) return true;
  return view.diedWith(receptacle).some((other) => other !== receptacle && trips(view, other));
}

// Ground-fault tests that cannot both be true: [record, other, what].
export function clashingTests(view) {
  const found = [];
  const receptacles = new Set(view.all("receptacle"));
  const kind = (one) => view.get(one, "gfci_kind");
  for (const one of receptacles) {
    if (kind(one) === "none" && trips(view, one)) found.push([one, one, "said to have no protection, yet it tripped"]);
    const others = [...new Set(view.get(one, "died_with") ?? [])].filter((other) => other !== one && receptacles.has(other)).sort();
    for (const other of others) {
      if (kind(other) === "none") found.push([other, one, "went dead with another, yet is said to have no protection"]);
      const back = one < other && (view.get(other, "died_with") ?? []).includes(one);
      if (back && kind(one) === "device" && kind(other) === "device") found.push([one, other, "each is said to go dead with the other's own button"]);
    }
  }
  return found;
}

// Whether a height in inches is within a small child's reach.
export function low(height) {
  const number = parse(height);
  return number === null ? null : compare(number, CHILD_REACH_IN) <= 0;
}
