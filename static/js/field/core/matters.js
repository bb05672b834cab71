// What matters first, for telling people: hazards, then what was written by hand by its level.
const CONSEQUENCES = ["could_hurt", "harming_building", "did_not_work", "old_for_kind", "upkeep"];
const TIMINGS = ["today", "before_close", "before_move_in", "first_year", "when_replaced", "watch"];

// [{id, title, place, photos}] in that order.
export function mattersFirst(visit) {
  const hazards = visit.of("hazard").map(([id, one]) => ({ id, one, title: one.what, rank: -1 }));
  const byHand = visit.of("hand_finding").map(([id, one]) => ({ id, one, title: one.line, rank: rankOf(one) }));
  return [...hazards, ...byHand].filter(({ title }) => title).sort((a, b) => a.rank - b.rank).map(({ id, one, title }) => ({
    id, title, place: visit.rec(one.stop)?.name ?? "", photos: visit.of("photo", { about: id }),
  }));
}

function rankOf({ consequence, timing }) {
  const at = (list, key) => (list.includes(key) ? list.indexOf(key) : list.length);
  return at(CONSEQUENCES, consequence) * 10 + at(TIMINGS, timing);
}
