// Reasons with their blanks filled, and how sure, in the server's words.
import * as era from "./era.js";
import { bare } from "./said.js";

const BLANK = /\{([a-zA-Z_][a-zA-Z0-9_]*)\}/g;

function plain(value) {
  if (value === null || value === undefined) return "not known";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (Array.isArray(value)) return `${value.length} of them`;
  return bare(value);
}

export const fill = (template, fields) => template.replace(BLANK, (_, name) => plain(fields[name]));

const SIGNS = {
  eq: "is", ne: "is not", lt: "<", le: "<=", gt: ">", ge: ">=",
  in: "among", add: "+", sub: "-", mul: "x", and: "and", or: "or",
};

export const word = (answer) => (answer === true ? "yes" : answer === false ? "no" : "not known");

// A condition with the values it read beside the names.
export function words(tree, fields) {
  if (!Array.isArray(tree)) return plain(tree);
  const [name, ...args] = tree;
  if (name === "lit") return (Array.isArray(args[0]) ? args[0] : args).map(plain).join(", ");
  if (name === "f") return `${args[0]} (${plain(fields[args[0]])})`;
  if (name === "choose" && Array.isArray(args[0]) && args[0][0] === "known" && args[0].length === 2
    && JSON.stringify(args[0][1]) === JSON.stringify(args[1])) return words(args[1], fields);
  const parts = args.map((arg) => words(arg, fields));
  return SIGNS[name] ? parts.join(` ${SIGNS[name]} `) : `${name} ${parts.join(", ")}`;
}

const EDITION = {
  [era.REQUIRED]: "the rule of its day asked for it",
  [era.NOT_REQUIRED]: "met the rules of its day; newer habit differs",
  [era.CANNOT_TELL]: "cannot tell whether the rule was in force then",
  [era.NO_DATE]: "no date is known, so no edition can be named",
};

export const editionText = (verdict) => EDITION[verdict.status];

export function certainty(rule, outcome, edition) {
  if (outcome === "undetermined") return "cannot tell from what is recorded";
  const parts = [edition.status === era.CANNOT_TELL ? "the facts are clear, the date is not" : "the facts decide it"];
  if (rule.provenance === "memory") parts.push("the rule rests on memory until the firm's reader ticks it");
  else if (rule.provenance === "mixed") parts.push("part of the rule rests on memory");
  return parts.join("; ");
}
