// Forms and words of records, as the firm's book has them.

export function formOf(book, kind, field) {
  return book.vocabulary.kinds[kind]?.[field] ?? book.vocabulary.shared?.[field] ?? null;
}

const plain = (key) => {
  const text = String(key).replaceAll("_", " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
};

export function labelOf(book, kind, field) {
  return book.labels.kinds[kind]?.fields?.[field]?.label ?? book.labels.facts[field] ?? plain(field);
}

export function hintOf(book, kind, field) {
  return book.labels.kinds[kind]?.fields?.[field]?.hint ?? "";
}

export function titleOf(book, kind) {
  return book.labels.kinds[kind]?.title ?? plain(kind);
}

// A recorded value as a person reads it.
export function wordOf(book, value) {
  if (value === true) return "yes";
  if (value === false) return "no";
  if (Array.isArray(value)) return value.map((one) => wordOf(book, one)).join(", ") || "none";
  if (value === null || value === undefined) return "not known";
  if (typeof value === "object") return Object.values(value).map((one) => wordOf(book, one)).join(", ");
  return book.labels.values[value] ?? String(value).replaceAll("_", " ");
}

export const first = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// The fields of a kind in the order in which its form asks for them.
export function fieldsOf(book, kind) {
  const told = Object.keys(book.labels.kinds[kind]?.fields ?? {});
  const known = Object.keys(book.vocabulary.kinds[kind] ?? {});
  return told.length ? told.filter((name) => known.includes(name)) : known;
}

// The items of a stop, its own first: [[key, item], …].
export function itemsOf(book, stop) {
  const { items, stops, rooms, everywhere } = book.items;
  const own = stop.stop_kind === "room" ? rooms[stop.room_use] ?? [] : [];
  const keys = new Set([...own, ...(stops[stop.stop_kind] ?? []), ...everywhere]);
  return [...keys].filter((key) => items[key]).map((key) => [key, items[key]]);
}

// The records that an item of a stop has written so far: [[id, record], …].
export function recordsOf(visit, stopId, key) {
  const item = visit.book.items.items[key];
  if (!item) return [];
  const name = item.item || key;
  if (item.record === "visit") return visit.rec(visit.id) ? [[visit.id, visit.rec(visit.id)]] : [];
  if (item.record === "stop") return [[stopId, visit.rec(stopId)]];
  if (item.record === "age_note") return visit.of("age_note", { reach: stopId });
  return visit.at(stopId, item.record).filter(([, record]) => {
    if (item.ask) return record.item === name && record.what in item.ask;
    if (item.record === "observation" || item.record === "measure") return record.item === name && !record.what;
    return true;
  });
}

const clock = new Intl.DateTimeFormat("en-US", { hour: "numeric", minute: "2-digit" });

export const clockOf = (instant) => (instant ? clock.format(new Date(instant)) : "");

// What was agreed for a house reads by that house's clock, wherever the phone is.
export function agreedAt(instant, timeZone) {
  const at = new Date(instant);
  const shown = { timeZone: timeZone || undefined };
  return {
    day: at.toLocaleDateString("en-US", { ...shown, weekday: "short", month: "short", day: "numeric" }),
    clock: at.toLocaleTimeString("en-US", { ...shown, hour: "numeric", minute: "2-digit" }),
  };
}

export function count(number, one, many = `${one}s`) {
  return `${number} ${number === 1 ? one : many}`;
}
