// Receptacles of a room: the counts that one tap writes, and tests that cannot both be true.
const COUNTS = ["receptacles_seen", "receptacles_tried", "receptacles_correct", "receptacles_not_reachable"];

// "Tried n, all correct": every count at once; what was said otherwise before stays.
export function allCorrect(stop, n) {
  const [seen, tried, correct, not] = COUNTS;
  const unreachable = stop[not] ?? 0;
  return { [seen]: n + unreachable, [tried]: n, [correct]: n, [not]: unreachable };
}

// One count changed by hand; seen is never less than tried and not reachable together.
export function counted(stop, field, value) {
  const next = { ...Object.fromEntries(COUNTS.map((name) => [name, stop[name] ?? 0])), [field]: value };
  if (field === "receptacles_tried") next.receptacles_correct = Math.min(value, stop.receptacles_correct ?? value);
  const least = next.receptacles_tried + next.receptacles_not_reachable;
  if (field !== "receptacles_seen") next.receptacles_seen = Math.max(next.receptacles_seen, least);
  return next;
}

const trips = (one) => one.gfci_own_button_trips === "yes" || one.gfci_tester_trips === "yes";

// [[id, other, words], …]: what asks to repeat the test; as findings/rules/tree.py says it.
export function contradictions(rows) {
  const byId = new Map(rows);
  const found = [];
  for (const [id, one] of rows) {
    if (one.gfci_kind === "none" && trips(one)) found.push([id, id, "said to have no protection, yet it tripped"]);
    for (const other of [...new Set(one.died_with ?? [])].filter((rec) => rec !== id && byId.has(rec)).sort()) {
      if (byId.get(other).gfci_kind === "none") found.push([other, id, "went dead with another, yet is said to have no protection"]);
      const both = (byId.get(other).died_with ?? []).includes(id) && id < other;
      if (both && one.gfci_kind === "device" && byId.get(other).gfci_kind === "device") {
        found.push([id, other, "each is said to go dead with the other's own button"]);
      }
    }
  }
  return found;
}
