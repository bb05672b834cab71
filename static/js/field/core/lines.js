// A line in an inspector's own words, read into fields. A part between commas is taken only if
// every word of it is understood; what is not, stays where it was written.
import { fault } from "./numbers.js";
import { formOf, labelOf } from "./words.js";

const PART = /[,;\n]+|\.(?=\s|$)/;

// heard(book, kind, text, fields, things) -> {fields: {name: value}, rest: [part, …]}; `fields`
// are those that the screen asks for, `things` gives the records that a field can point at:
// (kind) => [[id, [names]], …]. Two values for one field are left standing, both.
export function heard(book, kind, text, fields, things = () => []) {
  const phrases = phrasesOf(book, kind, fields);
  const found = new Map();
  const rest = [];
  for (const part of partsOf(text)) {
    const said = named(book, kind, part, fields) ?? understood({ book, kind, things }, phrases, part);
    if (said && agrees(found, said)) found.set(part, said);
    else rest.push(part);
  }
  const own = Object.assign({}, ...found.values());
  const into = book.lines.kinds[kind]?.rest;
  if (!into || !fields.includes(into) || !rest.length || into in own) return { fields: own, rest };
  // What comes before the first part that says something else belongs together: "workbench,
  // left"; a bare kind may open it and counts for both: "counter, left of the sink".
  const parts = partsOf(text);
  const opens = (part) => found.has(part) && Object.keys(found.get(part)).length === 1 && /^\p{L}+$/u.test(part);
  const start = parts.indexOf(rest[0]);
  let end = start;
  while (end < parts.length && !found.has(parts[end])) end += 1;
  const from = parts.slice(0, start).every(opens) ? 0 : start;
  own[into] = parts.slice(from, end).join(", ");
  rest.splice(0, end - start);
  return { fields: own, rest };
}

const partsOf = (text) => text.split(PART).map((one) => one.trim()).filter(Boolean);

function agrees(found, said) {
  return [...found.values()].every((other) => Object.entries(said).every(([name, value]) =>
    !(name in other) || JSON.stringify(other[name]) === JSON.stringify(value)));
}

const tokensOf = (text) => text.toLowerCase().replaceAll("’", "'").split(/[\s:"“”]+/).filter(Boolean);

// A field that takes words: its label, and all that follows it.
function named(book, kind, part, fields) {
  const low = part.toLowerCase();
  for (const name of fields) {
    const form = formOf(book, kind, name);
    if (!["text", "line"].includes(form?.form)) continue;
    const label = [labelOf(book, kind, name), ...(book.lines.called[name] ?? [])].find((one) => low.startsWith(`${one.toLowerCase()} `));
    const value = label && part.slice(label.length).trim();
    if (value && value.length <= form.max) return { [name]: value };
  }
  return null;
}

// Every way to say something of this kind: {tokens, set}, the longest first.
function phrasesOf(book, kind, fields) {
  const known = new Set(fields);
  const told = (book.lines.kinds[kind]?.say ?? []).filter((one) => namesOf(one).every((name) => known.has(name)))
    .flatMap((one) => optional(one.phrase).map((tokens) => ({ tokens, set: one.set ?? {} })));
  return [...told, ...ownAnswers(book, kind, fields)].sort((a, b) => b.tokens.length - a.tokens.length);
}

const namesOf = (one) => [...Object.keys(one.set ?? {}), ...[...one.phrase.matchAll(/\{(\w+)\}/g)].map((found) => found[1])];

// "[no] lamp lit" -> both readings.
function optional(phrase) {
  const open = phrase.match(/\[([^\]]*)\]/);
  if (!open) return [tokensOf(phrase)];
  return ["", open[1]].flatMap((inside) => optional(phrase.replace(open[0], inside)));
}

// A label before its value, and an answer that only one field can have.
function ownAnswers(book, kind, fields) {
  const found = [];
  const by = new Map();
  for (const name of fields) {
    const form = formOf(book, kind, name);
    const label = tokensOf(labelOf(book, kind, name).replaceAll(",", ""));
    if (["int", "decimal", "choice", "rec"].includes(form?.form)) found.push({ tokens: [...label, `{${name}}`], set: {} });
    if (form?.form !== "choice") continue;
    for (const option of form.options) for (const words of waysOf(book, option)) {
      by.set(words.join(" "), [...(by.get(words.join(" ")) ?? []), [name, option]]);
    }
  }
  for (const [words, rows] of by) {
    const [[name, option]] = rows;
    if (rows.length === 1 && !/^\d+$/.test(words) && !["yes", "no", "none"].includes(words)) found.push({ tokens: words.split(" "), set: { [name]: option } });
  }
  return found;
}

function waysOf(book, option) {
  const told = [option.replaceAll("_", " "), book.labels.values[option] ?? "", ...(book.lines.words[option] ?? [])];
  return [...new Set(told.filter(Boolean).map((one) => tokensOf(one.replaceAll(",", "")).join(" ")))].map((one) => one.split(" "));
}

// The whole part covered by phrases from left to right, the longest first; or nothing.
function understood(about, phrases, part) {
  const tokens = tokensOf(part);
  const plain = new Set(about.book.lines.plain);
  const from = (at) => {
    if (at >= tokens.length) return {};
    for (const phrase of phrases) {
      const got = matched({ ...about, plain, tokens }, phrase, at);
      const after = got && from(got.at);
      if (after && agrees(new Map([["", got.set]]), after)) return { ...got.set, ...after };
    }
    return plain.has(tokens[at]) ? from(at + 1) : null;
  };
  const found = from(0);
  return found && Object.keys(found).length ? found : null;
}

// {at, set} where a phrase stands at this token; small words between may come and go.
function matched({ book, kind, things, plain, tokens }, phrase, start) {
  let at = start;
  const set = { ...phrase.set };
  const is = (token, wanted) => token === wanted || (token !== undefined && book.lines.same[wanted]?.includes(token));
  for (const [turn, wanted] of phrase.tokens.entries()) {
    const slot = wanted.startsWith("{") ? wanted.slice(1, -1) : null;
    if (turn > 0) while (!is(tokens[at], wanted) && plain.has(tokens[at])) at += 1;
    if (!slot && !is(tokens[at], wanted)) {
      if (turn > 0 && plain.has(wanted)) continue;
      return null;
    }
    const got = slot ? valueAt({ book, things }, formOf(book, kind, slot), tokens, at, (token) => is(token, phrase.tokens[turn + 1])) : { at: at + 1 };
    if (!got) return null;
    if (slot) set[slot] = got.value;
    at = got.at;
  }
  return { at, set };
}

function valueAt({ book, things }, form, tokens, at, then) {
  if (form.form === "choice") return firstAt(form.options.map((option) => [option, waysOf(book, option)]), tokens, at);
  if (form.form === "rec") return firstAt(things(form.kind).map(([id, names]) => [id, names.map(tokensOf)]), tokens, at);
  const text = /^-?\d[\d.]*/.exec(tokens[at] ?? "")?.[0];
  const unit = text && tokens[at].slice(text.length);
  if (!text || (unit && !book.lines.units.includes(unit)) || fault(text, form)) return null;
  let next = at + 1;
  while (!then(tokens[next]) && book.lines.units.includes(tokens[next])) next += 1;
  return { value: form.form === "int" ? Number(text) : text, at: next };
}

// The longest of the ways to name something that stands here: [[value, [tokens, …]], …].
function firstAt(named, tokens, at) {
  const ways = named.flatMap(([value, all]) => all.map((words) => [value, words])).sort((a, b) => b[1].length - a[1].length);
  const found = ways.find(([, words]) => words.length && words.every((word, turn) => tokens[at + turn] === word));
  return found ? { value: found[0], at: at + found[1].length } : null;
}
