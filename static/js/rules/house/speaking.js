// What one binding's rule has to say, as a proposal; findings/rules/visit.py.
import { run } from "../engine.js";
import { span } from "../era.js";
import { bare } from "../said.js";
import { withLines } from "../timeline.js";
import { confirming } from "./confirming.js";
import { CALENDAR } from "./merging.js";
import { datesOf } from "./whole.js";
import { fieldWords } from "./view.js";

const BY_DUTY = "deficient_by_duty";
const OWN = "own.";
const QUIET = new Set(["ok", "informational", "undetermined"]);
const HAZARDS = new Set(["defect_now", "needs_specialist_urgent", "needs_specialist"]);
const DATE_ROLES = new Set(["built", "permit", "installed", "altered", "replaced"]);
const MATERIALS = { cu: "copper", al: "aluminium", cca: "copper_clad_aluminium" };
const AGE_NOTES = {
  required: "Not there; usual in houses of this age.",
  not_required: "This became usual after the house was built.",
  cannot_tell: "Older rules, newer habits: whether this was asked for when the house was built cannot be told from what is known.",
};
const UNDETERMINED = { outcome: "undetermined", certainty: "", needs: [], trace: () => [] };

// `rules`: {of(id), tables, timeline, duties, ticked}; `beside` takes what is only told.
export class Speaking {
  constructor({ rules, facts, places, beside }) {
    Object.assign(this, { rules, facts, places, beside });
  }

  // A proposal, or null where there is nothing to say.
  said(view, bound) {
    const rule = this.rules.of(bound.rule);
    if (!rule) return null; // the firm switched it off
    try {
      return this.#one(view, bound, rule);
    } catch (error) {
      // A rule of the firm's own may break on these facts; others must not.
      if (!bound.rule.startsWith(OWN)) throw error;
      return this.#base(view, bound, rule, { ...UNDETERMINED, why: `the firm's rule could not be worked out: ${error.message}` });
    }
  }

  #one(view, bound, rule) {
    const dates = ofItsOwn(rule, bound, datesOf(view, bound, this.facts));
    const found = this.#outcome(view, bound, rule, dates);
    if (found.wrong) return this.#asking(view, bound, rule, found, [found.wrong]);
    if (found.confirm.length) return this.#asking(view, bound, rule, found, found.needs);
    if (found.outcome === "undetermined") {
      const wanted = found.needs.filter((name) => bound.ask.includes(name));
      return wanted.length ? this.#asking(view, bound, rule, found, wanted) : null;
    }
    if (found.row && !found.row.consequence && found.outcome === "informational") this.beside.push([bound.subject, found.why]);
    // A dated row can come out ok; it then has a consequence and nothing to say.
    if (!found.row?.consequence || found.outcome === "ok") return null;
    // An estimate never makes a deficiency: it asks for the thing to be measured.
    const guessed = QUIET.has(found.outcome) ? null : estimated(bound);
    if (guessed) return this.#asking(view, bound, rule, { ...found, why: "only estimated; measure or read it" }, guessed);
    return this.#speaking(view, bound, rule, found);
  }

  #outcome(view, bound, rule, dates) {
    const { timeline, tables } = this.rules;
    const lines = withLines(timeline, dates, rule.topic, rule.code, this.places);
    try {
      return confirming(view, bound, rule, (one) => run(one, bound.inputs, lines, tables));
    } catch (error) {
      if (!error.told) throw error;
      return { ...UNDETERMINED, why: error.told, wrong: error.field };
    }
  }

  #speaking(view, bound, rule, found) {
    const { row } = found;
    const base = this.#base(view, bound, rule, found);
    const ruling = row.dated || !QUIET.has(row.outcome) ? rule.ruling : null;
    const dated = Object.keys(found.edition).length > 0 || CALENDAR.has(found.outcome);
    const duty = dated ? this.#duty(rule, row.passage) : null;
    const outcome = duty === null ? found.outcome : BY_DUTY;
    const edition = { ...found.edition };
    if (duty !== null) Object.assign(edition, { text: "the state names it as deficient, whatever the year", decided_by: `duty ${duty}`.trim() });
    return {
      ...base,
      outcome, consequence: row.consequence, timing: row.timing, trade: row.trade, passage: row.passage,
      blanks: blanksOf(bound, found),
      age_note: AGE_NOTES[edition.status] ?? "",
      margin: found.margin,
      edition,
      hazard: HAZARDS.has(outcome) && row.could_hurt,
      why: [base.why, ruling?.said].filter(Boolean).join("; "),
      ruling: ruling?.said ?? "",
      trace: ruling ? [...base.trace, ruling.traced] : base.trace,
      needs: bound.also.map(([record, field]) => ({ record, field, label: fieldWords(field) })),
    };
  }

  // The duty that wants this reported as deficient at any date, or null.
  #duty(rule, passage) {
    const { duties } = this.rules;
    const key = [rule.id, passage, rule.topic].find((one) => Object.hasOwn(duties, one));
    return key === undefined ? null : bare(duties[key] || key);
  }

  #asking(view, bound, rule, found, names) {
    const needs = names.filter((name) => name in bound.sources).map((name) => {
      const { record, field, label } = bound.sources[name];
      return { record, field, label };
    });
    return needs.length ? { ...this.#base(view, bound, rule, found), needs } : null;
  }

  #base(view, bound, rule, found) {
    const seen = new Map(bound.facts.map((one) => [`${one.record}\n${one.field}`, one]));
    return {
      key: `${rule.id}:${bound.subject}`, rule: rule.id, rule_version: rule.stamp, system: rule.system, item: bound.item,
      subject: bound.subject, subjects: [bound.subject], stop: bound.stop, places: bound.place ? [bound.place] : [],
      title: rule.title, facts: [...seen.values()],
      outcome: "undetermined", consequence: "", timing: "", trade: "", passage: "", blanks: {}, age_note: "",
      certainty: certaintyOf(view, bound, found), margin: "", edition: {},
      source: rule.source, provenance: rule.provenance, cautions: rule.cautions, trace: found.trace(), needs: [],
      firm_only: rule.provenance === "memory" && !this.rules.ticked.has(rule.id), hazard: false, topic: rule.topic, why: found.why,
      parts: [], ruling: "", decision: {},
    };
  }
}

// What dates the item itself stands before what dates the house.
function ofItsOwn(rule, bound, dates) {
  const own = Object.entries(rule.dates).filter(([name, role]) => DATE_ROLES.has(role) && (bound.inputs[name] ?? null) !== null);
  return own.length ? { ...dates, ...Object.fromEntries(own.map(([name, role]) => [role, span(bare(bound.inputs[name]))])) } : dates;
}

// The inputs that were only estimated, or null where none was.
function estimated(bound) {
  const guesses = new Set(bound.facts.filter((one) => one.how_known === "estimated").map((one) => JSON.stringify(one)));
  return guesses.size ? Object.keys(bound.sources).filter((name) => guesses.has(JSON.stringify(bound.sources[name]))) : null;
}

// Every value a passage may want, as text; unknown ones are left out.
function blanksOf(bound, found) {
  const known = Object.entries(found.fields).filter(([, value]) => typeof value === "string" || typeof value === "bigint" || Number.isInteger(value));
  const said = known.map(([name, value]) => [name, MATERIALS[value] ?? String(value).replaceAll("_", " ")]);
  return { ...Object.fromEntries(said), place: bound.place };
}

function certaintyOf(view, bound, found) {
  const compared = bound.facts.some((one) => ["size", "material"].includes(one.field) && view.row(one.record).how === "compared");
  return `${found.certainty}${compared ? "; size by comparison, not read" : ""}`;
}
