// Reasons with their blanks filled, and how sure, in the server's words.
import * as era from "./era.js";

const BLANK = /\{([a-zA-Z_][a-zA-Z0-9_]*)\}/g;

function plain(value) {
  if (value === null || value === undefined) return "not known";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (Array.isArray(value)) return `${value.length} of them`;
  return String(value);
}

export const fill = (template, fields) => template.replace(BLANK, (_, name) => plain(fields[name]));

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
