// How the server's sentences write a value: text bare or quoted, lists and sets with theirs.
const NAMED = new Map([["\\", "\\\\"], ["\n", "\\n"], ["\r", "\\r"], ["\t", "\\t"]]);
const HIDDEN = /[\p{C}\p{Z}]/u;

// The value as it stands in a message, text in quotes.
export function quoted(value) {
  if (value === null || value === undefined) return "None";
  if (typeof value === "boolean") return value ? "True" : "False";
  if (typeof value === "string") return text(value);
  if (Array.isArray(value)) return `[${value.map(quoted).join(", ")}]`;
  if (typeof value === "object") return `{${Object.entries(value).map(([name, inner]) => `${text(name)}: ${quoted(inner)}`).join(", ")}}`;
  return String(value);
}

// The value as it stands in a sentence, text as it is.
export const bare = (value) => (typeof value === "string" ? value : quoted(value));

function text(value) {
  const mark = value.includes("'") && !value.includes('"') ? '"' : "'";
  const written = Array.from(value, (one) => {
    if (one === mark) return `\\${one}`;
    return NAMED.get(one) ?? (one !== " " && HIDDEN.test(one) ? escaped(one) : one);
  });
  return `${mark}${written.join("")}${mark}`;
}

function escaped(one) {
  const code = one.codePointAt(0);
  const [letter, places] = code < 0x100 ? ["x", 2] : code < 0x10000 ? ["u", 4] : ["U", 8];
  return `\\${letter}${code.toString(16).padStart(places, "0")}`;
}
