// The order of a visit's stops: a fractional key each, ties by the record's id; the same as
// inspections/log/route.py. A stop moves by taking a key between those of its neighbours.

const LAST = "~"; // a stop that has no place yet comes after those that have one
const DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz";
const LONGEST = 36; // of the 40 characters that the log takes

const posOf = (stop) => String(stop.pos || LAST);
const less = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

// [id, record] of stops as they are walked.
export function inRouteOrder(stops) {
  return [...stops].sort(([a, one], [b, other]) => less(posOf(one), posOf(other)) || less(a, b));
}

// A key after `before` and before `after`, either of which may be null; null where there is
// none, as between two that are equal.
export function between(before, after) {
  let [made, bound] = ["", after];
  for (let at = 0; at < LONGEST; at += 1) {
    if (bound !== null && at >= bound.length) return null;
    const low = Math.max(0, DIGITS.indexOf((before ?? "")[at] ?? "0"));
    const high = bound === null ? DIGITS.length : DIGITS.indexOf(bound[at]);
    if (high < low) return null;
    if (high - low > 1) return made + DIGITS[(low + high) >> 1];
    if (high > low) bound = null;
    made += DIGITS[low];
  }
  return null;
}

// What has to be written so that a stop stands at a place among the others, counted from 0:
// [[id, {pos}], …]. Mostly its own key; every key where two phones gave two stops the same.
export function placed(stops, rec, place) {
  const others = inRouteOrder(stops).filter(([id]) => id !== rec);
  const key = (at) => (others[at] ? posOf(others[at][1]) : null);
  const known = others.every(([, stop]) => stop.pos && stop.pos !== LAST);
  const pos = known ? between(place > 0 ? key(place - 1) : null, key(place)) : null;
  if (pos !== null) return [[rec, { pos }]];
  const all = [...others.slice(0, place).map(([id]) => id), rec, ...others.slice(place).map(([id]) => id)];
  return all.map((id, at) => [id, { pos: `r${String((at + 1) * 10).padStart(5, "0")}` }]);
}
