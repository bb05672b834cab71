// The ledger of an open visit, worked out once for each state of its records.
import { closable, indexFindings, ledger, openLines } from "../../standards/ledger.js";
import { condition } from "../../standards/visit.js";
import { first } from "./words.js";

const KEPT = new WeakMap();

export function ledgerOf(visit) {
  const version = visit.version.peek();
  const held = KEPT.get(visit);
  if (held?.version === version && held.pack === visit.pack) return held.made;
  const pack = visit.book.packs[visit.pack.pack];
  const made = pack ? ledger({
    pack, records: visit.records(), index: indexFindings(pack, findingsOf(visit)), scope: visit.pack.scope,
    conflicts: visit.conflicts(), words: visit.book.value_words,
  }) : null;
  KEPT.set(visit, { version, pack: visit.pack, made });
  return made;
}

// What will be reported, as far as the phone knows: what was written by hand and what was used.
function findingsOf(visit) {
  const byHand = visit.of("hand_finding").map(([id, one]) => ({ id, stop: one.stop, item: one.item, system: one.system }));
  const used = visit.of("decision").filter(([, one]) => ["use", "change"].includes(one.choice))
    .map(([id, one]) => ({ id, rule: one.rule, stop: stopOf(visit, one.subject) }));
  return [...byHand, ...used];
}

function stopOf(visit, subject) {
  const record = visit.rec(subject) ?? {};
  return record.kind === "space" ? visit.rec(record.enclosure)?.stop ?? "" : record.stop ?? "";
}

export function openOf(visit, stop = null) {
  const made = ledgerOf(visit);
  return made ? openLines(made, stop) : [];
}

export function dutyOf(visit, id) {
  return visit.book.packs[visit.pack.pack]?.duties.find((duty) => duty.id === id);
}

// What a look closes; a condition's own text says what to do if it is met.
export const closingWords = (duty) => (condition(duty) ? `${first(duty.item)}.` : duty.text);

// The duties that leaving this stop closes: those still open, or closed together before.
export function closesAt(visit, stop) {
  const made = ledgerOf(visit);
  if (!made) return [];
  const ours = new Set(made.rows.filter((row) => row.state === "open" || (row.together && row.state === "looked")).map((row) => row.duty));
  return closable(made, stop).filter((duty) => ours.has(duty.id));
}
