// The firm's passages by a few typed words, also misspelt, without a server.
import MiniSearch from "../../../vendor/minisearch-7.2.0/minisearch.js";

const SMALL = new Set("a an and are at by has in is it its no not of on or that the to was with".split(" "));
const FIELDS = ["title", "seen", "rest"];
const MADE = new WeakMap();

// Plain plurals and small words tell nothing apart.
function term(word) {
  const low = word.toLowerCase();
  if (SMALL.has(low)) return null;
  return low.length > 3 && low.endsWith("s") && !low.endsWith("ss") ? low.slice(0, -1) : low;
}

function indexOf(book) {
  if (!MADE.has(book)) {
    const index = new MiniSearch({ idField: "key", fields: FIELDS, processTerm: term, tokenize: (text) => text.toLowerCase().match(/[a-z0-9]+/g) ?? [] });
    index.addAll(book.passages.map((one) => ({
      key: one.key, title: one.title, seen: one.seen, rest: [one.matters, one.action, one.item, ...(one.also ?? [])].join(" ").replaceAll("_", " "),
    })));
    MADE.set(book, { index, byKey: new Map(book.passages.map((one) => [one.key, one])) });
  }
  return MADE.get(book);
}

// The passages that the words may mean, best first; a system given first wins ties.
export function search(book, text, { system = null, most = 8 } = {}) {
  if (text.trim().length < 2) return [];
  const { index, byKey } = indexOf(book);
  const found = index.search(text, {
    prefix: (word) => word.length > 2, fuzzy: (word) => (word.length > 3 ? 0.25 : false),
    boost: { title: 4, seen: 2 }, weights: { fuzzy: 0.6, prefix: 0.7 }, combineWith: "OR",
    boostDocument: (key) => (system && byKey.get(key).system === system ? 1.2 : 1),
  });
  return found.slice(0, most).map((hit) => byKey.get(hit.id));
}

export const passageOf = (book, key) => indexOf(book).byKey.get(key);
