// The records of a visit by the names people call them, for a line that points at one.

const plain = (text) => String(text).toLowerCase().replaceAll(/[,.;]/g, "");

// (kind) => [[id, [names]], …]; a name that two things share names neither.
export function thingsOf(visit) {
  return (kind) => {
    const rows = visit.of(kind).map(([id, one]) => [id, namesOf(visit, kind, one)]);
    const times = new Map();
    for (const [, names] of rows) for (const name of names) times.set(name, (times.get(name) ?? 0) + 1);
    return rows.map(([id, names]) => [id, names.filter((name) => times.get(name) === 1)]);
  };
}

function namesOf(visit, kind, one) {
  const room = visit.rec(one.stop)?.name;
  if (kind !== "space") return [one.name, one.place, one.label].filter(Boolean).flatMap((name) => [name, ...(room ? [`${name} ${room}`] : [])]).map(plain);
  const panel = visit.rec(one.enclosure)?.name;
  return [String(one.number), ...(panel ? [`${one.number} ${plain(panel)}`, `${plain(panel)} ${one.number}`] : [])];
}
