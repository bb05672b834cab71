// What the whole visit may mean, worked out on the phone while nobody waits for it: in slices
// of idle time once the visit is calm, from what was kept; what is entered meanwhile comes first.
import { effect, signal } from "./ui.js";

const SCHEMA = 2; // of the rules in the book; an older one lacks what proposals are made of
const SLICE = 5; // ms of work between two looks at whether somebody waits
const AT_LATEST = 1000; // ms after which a slice is done on a busy phone too
const KEPT = new WeakMap(); // visit -> Whole
let House = null; // loaded when it is first needed, which is after the first screen stands

// {proposals, offered, records, version} of a visit, or null while nothing was worked out yet;
// who asks is drawn anew when it changes. Asking for it once keeps it up to date from then on.
export function wholeOf(visit) {
  if (!KEPT.has(visit)) KEPT.set(visit, new Whole(visit));
  const whole = KEPT.get(visit);
  whole.changed.value;
  return whole.made;
}

// The same as soon as it holds for the visit as it stands; null where nobody has asked for it.
export function settledOf(visit) {
  return KEPT.get(visit)?.settled() ?? Promise.resolve(null);
}

class Whole {
  constructor(visit) {
    this.visit = visit;
    this.made = null;
    this.said = []; // what the rules gave, to tell whether anything changed
    this.changed = signal(0);
    this.waiting = [];
    effect(() => {
      visit.calm.value;
      this.#begin();
    });
  }

  settled() {
    if (this.#tooOld()) return Promise.resolve(null);
    if (this.made?.version === this.visit.version.peek()) return Promise.resolve(this.made);
    return new Promise((done) => this.waiting.push(done));
  }

  // A book that was fetched before proposals were made here.
  #tooOld() {
    return !(this.visit.book.rules.schema >= SCHEMA);
  }

  #begin() {
    const { visit } = this;
    if (this.#tooOld()) return;
    if (!House) {
      load().then(() => this.#begin());
      return;
    }
    if (this.book !== visit.book || this.pack !== visit.pack) this.#anew();
    const version = visit.version.peek();
    if (this.made?.version === version || this.doing?.version === version) return;
    const of = { records: visit.records(), version };
    const steps = this.house.working({ records: of.records, conflicts: visit.conflicts(), facts: factsOf(visit) });
    this.doing = of;
    idle((time) => this.#slice(steps, of, time));
  }

  #anew() {
    const { book, pack } = this.visit;
    Object.assign(this, { book, pack, doing: null, made: null, said: [] });
    this.house = new House({
      book: book.rules, timeline: book.timelines[String(pack.state).toUpperCase()] ?? null, duties: pack.pack_rules ?? {}, ticked: book.ticked ?? [],
    });
  }

  #slice(steps, of, time) {
    // Something was entered or fetched since: what is done is kept, the rest begins again when calm.
    if (this.visit.version.peek() !== of.version || this.doing !== of) {
      if (this.doing === of) this.doing = null;
      return;
    }
    const until = performance.now() + Math.min(SLICE, Math.max(1, time.timeRemaining()));
    let found;
    do found = steps.next();
    while (!found.done && performance.now() < until);
    if (found.done) this.#done(found.value, of);
    else idle((more) => this.#slice(steps, of, more));
  }

  #done({ proposals, aside }, of) {
    const before = this.made;
    const said = [...proposals, ...aside];
    const same = before && said.length === this.said.length && said.every((one, at) => one === this.said[at]);
    const all = same ? before.proposals : said.map((one) => ({ ...one, covers: one.parts.length ? one.parts : [one.key] }));
    Object.assign(this, { doing: null, said, made: { ...of, proposals: all, offered: proposals.length } });
    // What was shown of single records meanwhile gives way to this.
    if (!same || before.besides) this.changed.value += 1;
    for (const done of this.waiting.splice(0)) done(this.made);
  }
}

async function load() {
  ({ House } = await import("../../rules/house/proposals.js"));
}

// The facts of the property that dated rules read; what was recorded on site stands before
// what was said at booking, as findings/selectors/evaluation.py has it.
function factsOf(visit) {
  const about = visit.about();
  const told = visit.pack.property_facts ?? {};
  if (!about.built_year) return told;
  return { ...told, built_from: about.built_year, built_to: about.built_year_to || about.built_year, built_source: about.built_source ?? "" };
}

function idle(work) {
  if (globalThis.requestIdleCallback) requestIdleCallback(work, { timeout: AT_LATEST });
  else setTimeout(() => work({ timeRemaining: () => SLICE }), 30);
}
