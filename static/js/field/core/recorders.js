// Who records on a visit and whose a record is. A trainee records beside the inspector, who
// closes stops, stands for them, and signs; the server holds the same (services/supervision.py).

const known = (visit) => visit.pack.recorders ?? [];
const entryOf = (member, visit) => known(visit).find((one) => one.member === member);

export const inspectorOf = (visit) => known(visit).find((one) => one.inspector)?.name ?? visit.pack.visit.inspector_name;

// Whether the person at this phone is in training on this visit.
export const inTraining = (visit) => Boolean(entryOf(visit.member, visit)?.trainee);

// {name, mine, trainee} of who began a record; null where nobody has.
export function authorOf(visit, rec) {
  const made = [...(visit.outbox.standing.byField.get(rec)?.get("kind")?.values() ?? [])];
  const [entry] = made.sort((a, b) => (a.v ?? Infinity) - (b.v ?? Infinity));
  if (!entry) return null;
  const row = visit.outbox.own.get(entry.id);
  const mine = entry.by ? entry.by === visit.member : row?.user === visit.user;
  const member = mine ? visit.member : entry.by;
  const listed = entryOf(member, visit);
  return { mine, name: listed?.name ?? entry.by_name ?? "another person on this phone", trainee: Boolean(listed?.trainee) };
}

// A word beside a record, where it is not simply one's own.
export function whose(visit, rec) {
  const author = authorOf(visit, rec);
  if (!author || (author.mine && !author.trainee)) return "";
  const who = author.mine ? "you" : author.name;
  return author.trainee ? `${who}, in training` : who;
}

// The same as a sentence, for the record's own screen.
export function recordedBy(visit, rec) {
  const author = authorOf(visit, rec);
  if (!author || (author.mine && !author.trainee)) return "";
  const who = author.mine ? "you" : author.name;
  return `Recorded by ${who}${author.trainee ? `, in training, beside ${inspectorOf(visit)}` : ""}.`;
}

// The names of trainees who recorded at a stop, the stop itself among it.
export function traineesAt(visit, stop) {
  const authors = [stop, ...visit.at(stop).map(([id]) => id)].map((rec) => authorOf(visit, rec));
  return [...new Set(authors.filter((one) => one?.trainee).map((one) => (one.mine ? "you" : one.name)))].sort();
}

// Stops with a trainee's entries that the inspector has not stood for: [[id, stop, names], …].
export function notStoodFor(visit) {
  return visit.stops().filter(([, stop]) => !stop.attested_at)
    .map(([id, stop]) => [id, stop, traineesAt(visit, id)]).filter(([, , names]) => names.length);
}

export const mayTakeOff = (visit, rec) => !inTraining(visit) || Boolean(authorOf(visit, rec)?.mine);
