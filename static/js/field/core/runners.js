// What runs while one walks, and when it rings: told from the records alone, so that it
// survives a reload and needs no signal.
export const running = (visit) => visit.of("runner").filter(([, one]) => !one.ended_at);

// {words, rings}: how long it runs, and whether its time is up.
export function stateOf(one, now) {
  const started = Date.parse(one.started_at ?? "");
  const ring = Date.parse(one.ring_at ?? "");
  const minutes = Number.isNaN(started) ? 0 : Math.max(0, Math.floor((now - started) / 60000));
  if (Number.isNaN(ring)) return { words: `runs ${minutes} min`, rings: false };
  const left = Math.ceil((ring - now) / 60000);
  return left > 0 ? { words: `${left} min left`, rings: false } : { words: `time is up since ${-left} min`, rings: true };
}

export const WHAT = ["Tub filling", "Sink filling", "Oven", "Dishwasher", "Cooling", "Furnace", "Hose running", "Clothes washer"];
export const MINUTES = [5, 10, 15, 20, 30];

export const ringAt = (now, minutes) => new Date(now.getTime() + minutes * 60000).toISOString();
