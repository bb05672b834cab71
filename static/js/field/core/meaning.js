// What the records of a visit may mean: the whole house as it was last worked out, and beside it
// what one record shows by itself at once. The server's own answer is held against it after a sync.
import { line, speaking } from "../../rules/live.js";
import { Tables } from "../../rules/tables.js";
import { signal } from "./ui.js";
import { NoAnswer, ask } from "./net.js";
import { settledOf, wholeOf } from "./whole_house.js";

const SPEAKERS = new WeakMap(); // book -> kind -> function from data to a speaker
const SAID = new WeakMap(); // visit -> record id -> {record, year, lines}
const HAZARDS = new Set(["defect_now", "needs_specialist_urgent", "needs_specialist"]);

// visit id -> the server's proposals; shown only while the phone has none of its own.
export const fromServer = signal({});

// [{key, rule, subject, text, grave, consequence, timing, why}] of one record.
export function meaningOf(visit, id) {
  const record = visit.rec(id);
  if (!record) return [];
  if (!SAID.has(visit)) SAID.set(visit, new Map());
  const held = SAID.get(visit).get(id);
  const data = dataOf(visit, record);
  const context = JSON.stringify(data);
  if (held?.record === record && held.context === context) return held.lines;
  const lines = worked(visit, id, record, data);
  SAID.get(visit).set(id, { record, context, lines });
  return lines;
}

function worked(visit, id, record, data) {
  const { book } = visit;
  if (record.on_site === undefined && record.kind === "stop") return [];
  if (!SPEAKERS.has(book)) SPEAKERS.set(book, { tables: new Tables(book.rules.tables) });
  const { tables } = SPEAKERS.get(book);
  const found = speaking(book.rules, data)(asTyped(record)).map((one) => line(one, tables)).filter((one) => one?.found);
  return found.map((one) => ({
    key: `${one.rule}:${id}`, rule: one.rule, subject: id, title: book.rules.rules[one.rule].title, why: one.text, grave: one.grave,
    consequence: one.found.consequence ?? "", timing: one.found.timing ?? "", certainty: one.found.certainty ?? "",
    hazard: HAZARDS.has(one.found.outcome) && one.found.consequence === "could_hurt", covers: [`${one.rule}:${id}`],
    firm_only: book.rules.rules[one.rule].provenance === "memory" && !(book.ticked ?? []).includes(one.rule),
  }));
}

// A record's values as a form would hold them, which is what the rules' readers expect.
function asTyped(record) {
  const typed = {};
  for (const [name, value] of Object.entries(record)) {
    if (value === true) typed[name] = "yes";
    else if (value !== false && value !== null) typed[name] = Array.isArray(value) ? value.map(String) : String(value);
  }
  return typed;
}

function dataOf(visit, record) {
  const about = visit.about();
  const facts = visit.pack.property_facts ?? {};
  const built = about.built_year ? [about.built_year, about.built_year_to ?? about.built_year] : [facts.built_from, facts.built_to];
  const notes = {};
  for (const [, note] of visit.of("age_note")) {
    if (note.year_from || note.year_to) notes[note.reach === record.stop ? "stop" : note.reach] = [note.year_from ?? null, note.year_to ?? null];
  }
  const fed = record.kind === "space" ? visit.of("enclosure").some(([, one]) => one.fed_by_space && visit.rec(one.fed_by_space) === record) : false;
  return {
    record: record.kind, day: String(about.arrived_at ?? visit.pack.visit.starts_at).slice(0, 10), feeds: fed ? "yes" : "",
    dates: JSON.stringify({ notes, ...(built[0] || built[1] ? { built } : {}) }),
    plumbing: facts.plumbing_family ?? "", mechanical: facts.mechanical_family ?? "", outside: String(about.temp_out_f ?? ""),
  };
}

// The decision on a proposal, or undefined: [id, record].
export function decisionOn(visit, one) {
  const record = visit.rec(one.decision?.record);
  if (record?.choice) return [one.decision.record, record];
  return visit.of("decision", { rule: one.rule }).find(([, record]) => record.choice && (record.subject === one.subject || (one.subjects ?? []).includes(record.subject)));
}

// What is offered at a stop or beside a record: of the whole visit, and of what was entered
// since. Hazards first; what only asks is left out.
export function offered(visit, { stop = null, subject = null } = {}) {
  const made = wholeOf(visit);
  const whole = (made?.proposals ?? fromServer.value[visit.id] ?? []).filter((one) => one.consequence);
  const known = new Set(whole.flatMap((one) => [one.key, ...(one.covers ?? [])]));
  const own = since(visit, made, { stop, subject }).flatMap((id) => meaningOf(visit, id)).filter((one) => one.consequence && !known.has(one.key));
  if (made && own.length) made.besides = true;
  const subjects = (one) => one.subjects ?? [one.subject];
  const here = whole.filter((one) => (subject ? subjects(one).includes(subject) : !stop || one.stop === stop || subjects(one).some((id) => stopOf(visit, id) === stop)));
  return [...here, ...own].sort((a, b) => Number(Boolean(b.hazard)) - Number(Boolean(a.hazard)));
}

// The records that changed since the whole was worked out, which is a moment at most.
function since(visit, made, { stop, subject }) {
  if (made?.version === visit.version.peek()) return [];
  const ids = subject ? [subject] : stop ? [...visit.at(stop).map(([id]) => id), ...spacesAt(visit, stop)] : Object.keys(visit.records());
  return ids.filter((id) => mapped(visit, id) && (!made || made.records[id] !== visit.rec(id)));
}

function spacesAt(visit, stop) {
  const panels = visit.at(stop, "enclosure").filter(([, panel]) => panel.map_done);
  return panels.flatMap(([id]) => visit.of("space", { enclosure: id }).map(([one]) => one));
}

function stopOf(visit, id) {
  const record = visit.rec(id) ?? {};
  return record.kind === "space" ? visit.rec(record.enclosure)?.stop : record.stop;
}

// Rules look at a panel's spaces only when its map is marked done.
function mapped(visit, id) {
  const record = visit.rec(id);
  return record?.kind !== "space" || visit.rec(record.enclosure)?.map_done === true;
}

// A rule set aside twice for the same reason is quiet for this visit; a hazard never is.
export function quieted(visit, one) {
  if (one.hazard) return false;
  const reasons = {};
  for (const [, record] of visit.of("decision", { rule: one.rule, choice: "not_here" })) {
    if (record.reason) reasons[record.reason] = (reasons[record.reason] ?? 0) + 1;
  }
  return Object.values(reasons).some((times) => times >= 2);
}

// Asked after each sync: only then does the server know what the phone knows.
export async function fetchProposals(app, visit) {
  try {
    const version = visit.version.peek();
    const answer = await ask("GET", `/api/v1/visits/${visit.id}/proposals`);
    if (answer.status !== 200 || !Array.isArray(answer.json)) return;
    await app.store.tx(true, (tx) => tx.put("packages", ["means", visit.id], answer.json));
    fromServer.value = { ...fromServer.value, [visit.id]: answer.json };
    settledOf(visit).then((mine) => compared(app, visit, { version, mine, theirs: answer.json }));
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
  }
}

const HELD = ["key", "rule_version", "outcome", "consequence", "timing", "trade", "why", "covers", "places", "facts", "needs", "hazard", "firm_only"];

// Says where the server reads the same records in another way: then one of the two is older.
function compared(app, visit, { version, mine, theirs }) {
  if (mine?.version !== version || visit.version.peek() !== version || visit.outbox.waiting().length) return;
  const written = (one) => JSON.stringify(HELD.map((name) => one[name]));
  const own = new Set(mine.proposals.slice(0, mine.offered).map(written));
  const other = new Set(theirs.map(written));
  const apart = [...own].filter((one) => !other.has(one)).length + [...other].filter((one) => !own.has(one)).length;
  const { syncer } = app;
  syncer.alarms = syncer.alarms.filter((alarm) => alarm.visit !== visit.id);
  if (apart) syncer.alarms.push({ what: "means", visit: visit.id, apart, at: new Date() });
}

export async function recallProposals(app, visit) {
  const held = await app.store.tx(false, (tx) => tx.get("packages", ["means", visit.id]));
  if (held) fromServer.value = { ...fromServer.value, [visit.id]: held };
}
