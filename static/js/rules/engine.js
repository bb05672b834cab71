// Runs one rule of the package over one subject's inputs, as findings/rules/engine.py does.
import { DERIVED } from "./derived.js";
import * as era from "./era.js";
import { compile } from "./evaluate.js";
import { certainty, editionText, fill, word, words } from "./explain.js";
import { normal } from "./inputs.js";

const QUIET = new Set(["ok", "informational", "undetermined"]);
const BY_STATUS = {
  [era.REQUIRED]: "defect_at_construction",
  [era.NOT_REQUIRED]: "met_then_safer_now",
  [era.CANNOT_TELL]: "depends_on_adoption",
  [era.NO_DATE]: "undetermined",
};

const optional = (tree) => (tree === null ? null : compile(tree));

// Compile a rule of the package once; what it returns can be run many times.
export function prepare(rule) {
  return {
    ...rule,
    let: rule.let.map(([name, tree]) => [name, compile(tree)]),
    letTrees: new Map(rule.let),
    asks: rule.asks.map((ask) => ({ ...ask, node: compile(ask.when) })),
    contradictions: rule.contradictions.map((one) => ({ ...one, node: compile(one.when) })),
    rows: rule.rows.map((row) => ({ ...row, node: compile(row.when), first: optional(row.first), effective: optional(row.effective), doubt: optional(row.doubt) })),
    history: rule.history.map((line) => ({ ...line, node: optional(line.needs) })),
  };
}

export function run(rule, given, dates, tables) {
  const fields = {};
  for (const spec of rule.inputs) fields[spec.name] = normal(spec, given[spec.name] ?? null);
  const env = { fields, tables, trace: [] };
  const [governs] = era.governing(dates);
  fields.governing_year = governs ? Number(governs.last.slice(0, 4)) : dates.adopted_edition ?? null;
  fields.edition_in_force = dates.adopted_edition || inForce(dates);
  for (const [name, [by, sources]] of Object.entries(rule.derive)) fields[name] = DERIVED[by](...sources.map((source) => fields[source]));
  for (const [name, node] of rule.let) fields[name] = node(env);
  const confirm = asked(rule, env);
  if (confirm.length) return finish(rule, env, { outcome: "undetermined", why: confirm[0][1], needs: [...new Set(confirm.map(([name]) => name))], confirm });
  return finish(rule, env, decide(rule, env, dates));
}

// What has to be settled first: what cannot both be so, then what is odd.
function asked(rule, env) {
  const holds = (one) => one.node(env) === true;
  const apart = rule.contradictions.filter(holds).flatMap((one) => one.between.map((name) => [name, fill(one.say, env.fields)]));
  const odd = rule.asks.filter(holds).map((ask) => [ask.field, fill(ask.say, env.fields)]);
  return [...apart, ...odd];
}

function inForce(dates) {
  const [governs] = era.governing(dates);
  if (!governs || !era.listed(dates)) return null;
  const found = [governs.first, governs.last].map((day) => era.lineAt(dates, day));
  return found[0]?.edition === found[1]?.edition ? found[0]?.edition ?? null : null;
}

const excuses = (row) => !row.dated && QUIET.has(row.outcome);

function decide(rule, env, dates) {
  const doubts = [];
  for (const [at, row] of rule.rows.entries()) {
    const answer = row.node(env);
    env.trace.push([at + 1, answer, row.when]);
    if (answer === null) doubts.push(row);
    else if (answer === true) {
      const found = outcomeOf(rule, row, env, dates);
      const quiet = QUIET.has(found.outcome);
      if (!doubts.some((doubt) => quiet || excuses(doubt))) return found;
      break;
    }
  }
  const needs = needed(rule, env, doubts);
  const labels = needs.map((name) => rule.inputs.find((spec) => spec.name === name).label).join(", ");
  const why = doubts.length ? `cannot tell without: ${labels || "more facts"}` : "no row of this rule covers these facts";
  return { outcome: "undetermined", why, needs };
}

function reads(tree, found = new Set()) {
  if (!Array.isArray(tree) || tree[0] === "lit") return found;
  if (tree[0] === "f") {
    const head = tree[1].split(".")[0];
    if (head !== "it") found.add(head);
  } else tree.slice(1).forEach((part) => reads(part, found));
  return found;
}

function needed(rule, env, rows) {
  const names = new Set();
  const waiting = rows.flatMap((row) => [...reads(row.when)]);
  while (waiting.length) {
    const name = waiting.pop();
    if (names.has(name)) continue;
    names.add(name);
    if (rule.letTrees.has(name) && (env.fields[name] ?? null) === null) waiting.push(...reads(rule.letTrees.get(name)));
    if (name in rule.derive) waiting.push(...rule.derive[name][1]);
  }
  return rule.inputs.map((spec) => spec.name).filter((name) => names.has(name) && env.fields[name] === null);
}

function outcomeOf(rule, row, env, dates) {
  const why = fill(row.reason, env.fields);
  const margin = fill(row.margin, env.fields);
  // A row that leaves it open names what it would take to close it.
  const needs = row.outcome === "undetermined" ? needed(rule, env, [row]) : [];
  if (!row.dated) return { outcome: row.outcome, why, margin, row, needs };
  const apart = era.apart(dates);
  if (apart) return { outcome: "undetermined", why: apart };
  const verdict = row.by_history ? byHistory(rule, env, dates) : byFirst(row, env, dates);
  const name = BY_STATUS[verdict.status];
  const text = editionText(verdict);
  return {
    outcome: row.outcome_when?.[name] ?? name,
    why: `${why}; ${text} (${verdict.decided_by})`,
    edition: { status: verdict.status, text, decided_by: verdict.decided_by, edition: verdict.edition },
    margin,
    row,
  };
}

function byFirst(row, env, dates) {
  const first = row.first ? row.first(env) : null;
  if (!Number.isInteger(first)) return { status: era.CANNOT_TELL, decided_by: "the first edition is not known", edition: null };
  return era.resolve(dates, first, (row.effective && row.effective(env)) || "", row.doubt ? row.doubt(env) : null);
}

function byHistory(rule, env, dates) {
  const answers = [];
  let verdict = { status: era.NOT_REQUIRED, decided_by: "older than every edition named", edition: null };
  let settled = false;
  for (const line of [...rule.history].sort((a, b) => b.year - a.year)) {
    if (!line.node) continue;
    verdict = era.resolve(dates, line.year, line.effective, line.until);
    if (verdict.status === era.NO_DATE) return verdict;
    if (verdict.status !== era.NOT_REQUIRED) answers.push([line.node(env), line]);
    if (verdict.status === era.REQUIRED) {
      settled = true;
      break;
    }
  }
  if (!settled) answers.push([true, null]);
  const met = new Set(answers.map(([answer]) => answer));
  const edition = answers[answers.length - 1][1]?.year ?? null;
  const only = met.size === 1 ? [...met][0] : null;
  const status = only === true ? era.NOT_REQUIRED : only === false ? era.REQUIRED : era.CANNOT_TELL;
  return { status, decided_by: verdict.decided_by, edition };
}

const told = ([number, answer, tree], fields) => `row ${number}: ${word(answer)}: ${words(tree, fields)}`;

function finish(rule, env, found) {
  const { fields } = env;
  const values = {};
  for (const name of rule.gives) if ((fields[name] ?? null) !== null) values[name] = fields[name];
  const edition = found.edition ?? {};
  return {
    rule: rule.id,
    outcome: found.outcome,
    values,
    why: found.why ?? "",
    needs: found.needs ?? [],
    confirm: found.confirm ?? [],
    margin: found.margin ?? "",
    edition,
    certainty: certainty(rule, found.outcome, edition),
    consequence: found.row?.consequence ?? "",
    timing: found.row?.timing ?? "",
    passage: found.row?.passage ?? "",
    row: found.row ?? null,
    fields,
    // Told when asked: most outcomes never are.
    trace: () => env.trace.map((one) => (typeof one === "string" ? one : told(one, fields))),
  };
}
