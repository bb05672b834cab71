// All proposals of a visit: facts in, one quiet line for each thing that matters out, as
// findings/rules/visit.py gives them; held equal by tests/findings/test_proposals_in_js.py.
import { prepare } from "../engine.js";
import { bare } from "../said.js";
import { Tables } from "../tables.js";
import { placesOf } from "../timeline.js";
import { dated, found, unsettled } from "./contradictory.js";
import { gatherersOf } from "./gatherers.js";
import { decided } from "./merging.js";
import { Parts } from "./parts.js";
import { lines } from "./settling.js";
import { Speaking } from "./speaking.js";
import { build } from "./tree.js";
import { View } from "./view.js";

const USED = ["use", "change"];

// Rules as one firm has them in one state: each compiled when it is first asked for.
class Rules {
  constructor(book, again, { timeline, duties, ticked }) {
    Object.assign(this, { timeline, duties, ticked });
    this.known = { ...book.rules, ...Object.fromEntries(again.map((id) => [id, book.off[id]])) };
    this.tables = new Tables(book.tables);
    this.ready = new Map();
    this.gatherers = gatherersOf(Object.values(this.known));
  }

  of(id) {
    if (!Object.hasOwn(this.known, id)) return null;
    if (!this.ready.has(id)) this.ready.set(id, prepare(this.known[id]));
    return this.ready.get(id);
  }
}

// Keeps what was made of one visit. `book`: the rules' package; `timeline`: of the state;
// `duties`: what the state wants reported whatever the year; `ticked`: what the firm's reader
// confirmed.
export class House {
  constructor({ book, timeline = null, duties = {}, ticked = [] }) {
    Object.assign(this, { book, rest: { timeline, duties, ticked: new Set(ticked) } });
    this.parts = new Parts();
    this.rules = new Map();
  }

  // Works in steps; what it returns at last is {proposals, aside, beside}. `records` by id, of
  // which one that changed is another object; `conflicts`: [{rec, field, values}].
  *working({ records, conflicts, facts: told }) {
    const disputed = byRecord(conflicts);
    const asWritten = new View(records, disputed);
    yield;
    const apart = found(asWritten, told);
    yield;
    const facts = dated(told, apart);
    const view = asWritten.with(unsettled(disputed, apart), facts);
    const tree = build(view);
    yield;
    const again = this.#again(view);
    const rules = this.#rulesWith(again);
    yield;
    const county = view.get(view.only("visit"), "county") || facts.county;
    const places = placesOf(facts.city, county);
    this.parts.take(JSON.stringify([facts, again, places]), view, tree, rules.gatherers);
    yield;
    yield* this.parts.work(view, tree, rules.gatherers, (noted, gather) => partOf(noted, gather, { rules, facts, places }));
    return yield* this.#joined(view, [...lines(view, tree, disputed, apart), ...this.#said()]);
  }

  // Rules that are off and that this visit's inspector used before.
  #again(view) {
    const used = view.all("decision").filter((one) => USED.includes(view.get(one, "choice"))).map((one) => bare(view.get(one, "rule")));
    return [...new Set(used)].filter((id) => Object.hasOwn(this.book.off, id)).sort();
  }

  #rulesWith(again) {
    const key = again.join(" ");
    if (!this.rules.has(key)) this.rules.set(key, new Rules(this.book, again, this.rest));
    return this.rules.get(key);
  }

  *#said() {
    for (const part of this.parts.parts.values()) yield* part.proposals;
  }

  *#joined(view, said) {
    yield;
    const { offered, aside } = yield* decided(view, said);
    const beside = {};
    for (const part of this.parts.parts.values()) for (const [id, why] of part.beside) (beside[id] ??= []).push(why);
    const on = (one) => Object.keys(one.decision).length > 0 || !Object.hasOwn(this.book.off, one.rule);
    return { proposals: offered.filter(on), aside, beside };
  }
}

function partOf(view, gather, { rules, facts, places }) {
  const beside = [];
  const speaking = new Speaking({ rules, facts, places, beside });
  const proposals = gather().map((bound) => speaking.said(view, bound)).filter(Boolean);
  return { proposals, beside };
}

function byRecord(conflicts) {
  const all = new Map();
  for (const { rec, field, values } of conflicts) {
    if (!all.has(rec)) all.set(rec, new Map());
    all.get(rec).set(field, values);
  }
  return all;
}

// The same without steps.
export function review(house, visit) {
  const work = house.working(visit);
  for (;;) {
    const { done, value } = work.next();
    if (done) return value;
  }
}
