// A record in one line: what it is, and what it says.
import { fieldsOf, first, labelOf, titleOf, wordOf } from "./words.js";

const OWN = new Set(["kind", "stop", "on_site", "item", "what", "about", "pos"]);
const MOST = 4;

export function briefOf(visit, record) {
  const { book } = visit;
  const item = Object.values(book.items.items).find((one) => one.ask && record.what in one.ask && one.record === record.kind);
  const ask = item?.ask[record.what];
  if (record.kind === "measure") {
    return { title: first(ask?.label ?? wordOf(book, record.what)), note: `${record.value ?? "not read"} ${record.unit ?? ""}`.trim() };
  }
  if (record.kind === "observation") {
    const named = ask?.label ?? book.items.items[record.item]?.label ?? itemCalled(book, record.item);
    const said = [record.answer && wordOf(book, record.answer), record.text].filter(Boolean).join(". ");
    return { title: first(named), note: said || "no answer yet" };
  }
  if (record.kind === "hand_finding") return { title: record.line ?? "Something wrong", note: "in your words" };
  const told = fieldsOf(book, record.kind).filter((name) => !OWN.has(name) && record[name] !== undefined);
  const title = record.name ?? record.place ?? titleOf(book, record.kind);
  const note = told.filter((name) => !["name", "place"].includes(name)).slice(0, MOST)
    .map((name) => `${labelOf(book, record.kind, name)}: ${wordOf(book, record[name])}`).join(", ");
  return { title: first(String(title)), note };
}

function itemCalled(book, key) {
  const found = Object.values(book.items.items).find((one) => one.item === key);
  return found?.label ?? wordOf(book, key ?? "something else seen");
}
