// The rules' language: JSON arrays compiled once to closures. findings/rules/evaluate.py
// has its one page of semantics; fixtures/rules/vectors.json holds both sides to it.
import { Mismatch, add, number, toWire } from "./exact.js";
import { STRICT } from "./operators.js";
import { quoted } from "./said.js";

const MANY = 64;

export class BadExpression extends Error {}

export function compile(expr) {
  if (typeof expr === "string") {
    const text = expr.normalize("NFC");
    return () => text;
  }
  if (expr === null || typeof expr === "boolean" || typeof expr === "bigint" || Number.isInteger(expr)) return () => expr;
  if (!Array.isArray(expr) || typeof expr[0] !== "string") throw new BadExpression("not an expression");
  const [name, ...args] = expr;
  if (name === "lit") return literal(args);
  if (name === "f") return field(args);
  const nodes = args.map(compile);
  if (name in LAZY) return fits(name, args, LAZY[name]) && LAZY[name][2](nodes);
  if (name in STRICT) return fits(name, args, STRICT[name]) && strict(name, STRICT[name][2], nodes);
  throw new BadExpression(`no operator ${name}`);
}

function fits(name, args, [low, high]) {
  if (args.length < low || args.length > high) throw new BadExpression(`${name} takes ${low} to ${high} arguments`);
  return true;
}

function literal(args) {
  fits("lit", args, [1, 1]);
  return () => args[0];
}

function field(args) {
  fits("f", args, [1, 1]);
  if (typeof args[0] !== "string" || !args[0]) throw new BadExpression("f takes a name");
  const [head, ...rest] = args[0].split(".");
  return (env) => {
    let value = own(env.fields, head);
    for (const part of rest) value = plain(value) ? own(value, part) : null;
    return value;
  };
}

const plain = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
const own = (object, name) => (Object.hasOwn(object, name) ? object[name] ?? null : null);

function strict(name, work, nodes) {
  return (env) => {
    const values = nodes.map((node) => node(env));
    if (values.some((value) => value === null)) return null;
    try {
      return work(...values);
    } catch (error) {
      if (!(error instanceof Mismatch) && !(error instanceof RangeError)) throw error;
      env.trace.push(`${name}: ${error.message}`);
      return null;
    }
  };
}

function truth(env, where, value) {
  if (value === null || typeof value === "boolean") return value;
  env.trace.push(`${where}: ${quoted(value)} is neither true nor false`);
  return null;
}

const andOr = (name, decisive) => (nodes) => (env) => {
  let unknown = false;
  for (const node of nodes) {
    const value = truth(env, name, node(env));
    if (value === decisive) return decisive;
    unknown = unknown || value === null;
  }
  return unknown ? null : !decisive;
};

function choose(nodes) {
  if (nodes.length % 2 === 0) throw new BadExpression("choose ends with an else");
  return (env) => {
    for (let at = 0; at < nodes.length - 1; at += 2) {
      const decided = truth(env, "choose", nodes[at](env));
      if (decided === null) return null;
      if (decided) return nodes[at + 1](env);
    }
    return nodes[nodes.length - 1](env);
  };
}

const inside = (env, item) => ({ ...env, fields: { ...env.fields, it: item } });

function listed(env, where, nodes) {
  const items = nodes[0](env);
  if (items === null || Array.isArray(items)) return items;
  env.trace.push(`${where}: ${quoted(items)} is not a list`);
  return null;
}

function each(env, where, nodes) {
  const items = listed(env, where, nodes);
  return items && items.map((item) => truth(env, where, nodes[1](inside(env, item))));
}

const anyAll = (name, decisive) => (nodes) => (env) => {
  const answers = each(env, name, nodes);
  if (answers === null) return null;
  if (answers.includes(decisive)) return decisive;
  return answers.includes(null) ? null : !decisive;
};

const count = (nodes) => (env) => {
  const answers = each(env, "count", nodes);
  return answers === null || answers.includes(null) ? null : answers.filter(Boolean).length;
};

const total = (nodes) => (env) => {
  const items = listed(env, "total", nodes);
  if (items === null) return null;
  const values = items.map((item) => nodes[1](inside(env, item)));
  if (values.includes(null)) return null;
  try {
    return toWire(values.map(number).reduce(add, { n: 0n, d: 1n }));
  } catch (error) {
    if (!(error instanceof Mismatch)) throw error;
    env.trace.push(`total: ${error.message}`);
    return null;
  }
};

const look = (nodes) => (env) => {
  const [name, column, ...keys] = nodes.map((node) => node(env));
  return !env.tables || keys.includes(null) ? null : env.tables.look(name, column, keys);
};

export const LAZY = {
  and: [1, MANY, andOr("and", false)],
  or: [1, MANY, andOr("or", true)],
  known: [1, 1, (nodes) => (env) => nodes[0](env) !== null],
  given: [0, MANY, (nodes) => (env) => nodes.map((node) => node(env)).filter((value) => value !== null)],
  choose: [3, MANY, choose],
  any: [2, 2, anyAll("any", true)],
  all: [2, 2, anyAll("all", false)],
  count: [2, 2, count],
  total: [2, 2, total],
  look: [3, 6, look],
};
