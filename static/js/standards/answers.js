// The ways a duty is answered, each a small function; the first that knows wins. The
// counterpart of findings/standards/answers.py.
import { byCount, byTest, countHint, testHint } from "./counting.js";
import { anyOf, found, holds, sentence } from "./matching.js";
import { condition } from "./visit.js";
import { byAbsence, byClosing, byLimit } from "./leaving.js";

const GAPS = ["not_inspected", "not_present", "outside_agreement"];
const ANSWERS = {
  inspect: ["looked", "operated", "described", "reported"], describe: ["described"],
  operate: ["operated", "reported"], report: ["described", "reported"],
};
const VERB_HINTS = {
  describe: "A look is not enough: describe it.", operate: "A look is not enough: operate it or say why not.",
};

const byScope = (visit, duty) => (visit.covers(duty.system) ? null : { state: "outside_agreement" });

function byPerson(visit, duty, stops) {
  let unfinished = null;
  for (const record of visit.answers(duty, stops)) {
    if (!record.answer) continue;
    const reply = said(visit, duty, record);
    if (reply && reply.state !== "open") return reply;
    unfinished = unfinished ?? reply;
  }
  return unfinished;
}

function said(visit, duty, record) {
  const [answer, text, stop] = [String(record.answer), String(record.text ?? "").trim(), String(record.stop ?? "")];
  if (visit.inConflict(record.id, "answer")) return { state: "open", stop, hint: "Two answers stand here: say which holds." };
  if (GAPS.includes(answer)) {
    if (answer === "not_inspected" && !text) return { state: "open", stop, hint: "Say why it was not inspected." };
    return { state: answer, text, stop, said: Boolean(text) };
  }
  if (answer === "looked" && ["if_found", "if_absent"].includes(duty.trigger)) {
    if (!text && anyOf(visit.byKind, duty.must_report)) return null;
    return { state: "looked", text: text || "none seen", stop, said: true };
  }
  const refs = visit.refs(duty, [stop], duty.per === "house");
  const problem = unfit(duty, answer, text, refs);
  if (problem) return { state: "open", stop, hint: problem };
  const together = Boolean(record.together) && duty.exception;
  return { state: stateOf(answer, refs), text, together, stop, findings: refs, said: Boolean(text) };
}

function stateOf(answer, refs) {
  if (answer === "described" || (answer === "reported" && !refs.length)) return "described";
  return refs.length ? "reported" : "looked";
}

function unfit(duty, answer, text, refs) {
  if (!ANSWERS[duty.duty].includes(answer)) return VERB_HINTS[duty.duty] ?? "Say what was found.";
  if (answer === "described" && !text) return "The description is still empty.";
  return answer === "reported" && !text && !refs.length ? "No finding reports it yet." : "";
}

function byMustReport(visit, duty, stops) {
  if (visit.refs(duty, stops, true).length) return null;
  for (const line of duty.must_report) {
    for (const [, record] of found(visit.byKind, line)) {
      const stop = String(record.stop ?? "");
      if (duty.per === "house" || stops.includes(stop)) return { state: "open", stop, hint: duty.must_report_hint };
    }
  }
  return null;
}

function byFindings(visit, duty, stops) {
  if (duty.count || duty.tested || duty.duty === "describe") return null;
  const house = duty.per === "house";
  const refs = visit.refs(duty, stops, house);
  return refs.length ? { state: "reported", stop: house ? visit.placeOf(duty) : "", findings: refs } : null;
}

function byHindrance(visit, duty) {
  for (const line of duty.unless) {
    for (const [, record] of found(visit.byKind, line)) {
      const [stop, reason] = [String(record.stop ?? ""), record[line.reason]];
      if (!reason) return { state: "open", stop, hint: "Say why it was left closed." };
      return { state: "not_inspected", text: String(reason), stop };
    }
  }
  return null;
}

function byRecords(visit, duty, stops) {
  for (const line of duty.answered_by) {
    const all = found(visit.byKind, line);
    const whole = all.filter(([id, record]) => holds(record, line.needs) && !line.needs.some((name) => visit.inConflict(id, name)));
    if (!whole.length || (line.each && whole.length < all.length)) continue;
    const texts = new Set(whole.map(([, record]) => sentence(line.text, record, visit.words)));
    const refs = visit.refs(duty, stops, true);
    return { state: described(duty, refs), text: [...texts].join(" "), stop: String(whole[0][1].stop ?? ""), findings: refs };
  }
  return null;
}

function described(duty, refs) {
  if (refs.length && duty.duty !== "describe") return "reported";
  return ["inspect", "operate"].includes(duty.duty) ? "looked" : "described";
}

const WAYS = [byScope, byPerson, byMustReport, byFindings, byHindrance, byRecords, byCount, byTest, byLimit, byClosing, byAbsence];

// How a duty stands; open, with where and how to answer, if nothing answers it.
export function reply(visit, duty, stops) {
  for (const way of WAYS) {
    const one = way(visit, duty, stops);
    if (one) return one;
  }
  return { state: "open", hint: openHint(visit, duty, stops) };
}

function openHint(visit, duty, stops) {
  if (duty.count) return countHint(visit, duty, stops);
  if (duty.tested) return testHint(visit, duty);
  return anyOf(visit.byKind, duty.requires) ? duty.text : duty.requires_hint || duty.text;
}

export { condition };
