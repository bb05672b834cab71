// Which edition governed, and whether a rule was in force: three-valued, as era.py.
export const REQUIRED = "required";
export const NOT_REQUIRED = "not_required";
export const CANNOT_TELL = "cannot_tell";
export const NO_DATE = "no_date";
const ROLES = ["replaced", "altered", "installed", "permit", "built"];

function ends(value) {
  const text = String(value);
  return /^[0-9]+$/.test(text) ? [`${text}-01-01`, `${text}-12-31`] : [text.slice(0, 10), text.slice(0, 10)];
}

// A span from a year or an ISO date, or from two of them.
export function span(value, to = null) {
  const [low, high] = [ends(value), ends(to ?? value)];
  return { first: low[0] < high[0] ? low[0] : high[0], last: low[1] > high[1] ? low[1] : high[1] };
}

function words(one) {
  if (one.first === one.last) return one.first;
  const [a, b] = [one.first.slice(0, 4), one.last.slice(0, 4)];
  return a === b ? a : `${a} to ${b}`;
}

export function governing(dates) {
  const role = ROLES.find((name) => dates[name]);
  return role ? [dates[role], role] : [null, ""];
}

// Two dates that cannot both be so: work done before the house was built.
export function apart(dates) {
  const early = ["replaced", "altered"].find((role) => dates[role] && dates.built && dates[role].last < dates.built.first);
  return early ? `${early} ${words(dates[early])}, and built ${words(dates.built)}: which of the two holds?` : "";
}

const verdict = (status, decided_by, edition = null) => ({ status, decided_by, edition });

export function resolve(dates, first, effective = "", doubtUntil = null) {
  const from = effective > (dates.rule_effective ?? "") ? effective : dates.rule_effective ?? "";
  const amended = amendedVerdict(dates);
  if (amended) return amended;
  const [one, role] = governing(dates);
  if (!one) return withoutDate(dates, first);
  const both = [one.first, one.last].map((day) => at(dates, day, first, from));
  if (both[0].status !== both[1].status) return verdict(CANNOT_TELL, `${role} ${words(one)}: the range straddles it`);
  const inDoubt = doubtUntil !== null && (dates.lag ?? null) === null;
  if (inDoubt && one.first < `${doubtUntil}-01-01` && both[0].status === REQUIRED) return verdict(CANNOT_TELL, `sources differ: ${first} or ${doubtUntil}`);
  return verdict(both[1].status, `${role} ${words(one)}: ${both[1].decided_by}`, both[1].edition);
}

function amendedVerdict(dates) {
  const said = dates.amendment ?? null;
  if (said === null || said === "") return null;
  if (typeof said === "boolean") return verdict(said ? REQUIRED : NOT_REQUIRED, "a state amendment decides");
  return verdict(CANNOT_TELL, `a state amendment must be read: ${said}`);
}

function withoutDate(dates, first) {
  const edition = dates.adopted_edition ?? null;
  if (edition === null) return verdict(NO_DATE, "no date is known for this item");
  return byEdition(edition, first, "the edition in force was given");
}

const byEdition = (edition, first, how) => verdict(edition >= first ? REQUIRED : NOT_REQUIRED, `${how}: ${edition}`, edition);

function at(dates, day, first, effective) {
  const year = Number(day.slice(0, 4));
  if (year < first) return verdict(NOT_REQUIRED, `before the ${first} edition was printed`);
  if (day < effective) return verdict(NOT_REQUIRED, `before ${effective}, when the text took effect`);
  const adopted = dates.adopted_edition ?? null;
  if (adopted !== null && year >= adopted - 1) return byEdition(adopted, first, "the edition in force was given");
  if (listed(dates)) return byList(dates, day, first);
  return byLag(dates, year, Math.max(first, Number(effective.slice(0, 4) || 0)));
}

function byLag(dates, year, base) {
  const lag = dates.lag ?? null;
  if (lag === null) return verdict(CANNOT_TELL, "no sourced list of adoption dates");
  if (year >= base + lag) return verdict(REQUIRED, `${base} and ${lag} years of assumed lag passed`);
  return verdict(CANNOT_TELL, `within ${lag} years of ${base}`);
}

export const listed = (dates) => Boolean(dates.adoption?.length || dates.local?.length);

const newer = (line, best) => !best || line.effective > best.effective || (line.effective === best.effective && line.edition > best.edition);

// The line in force on a day: the county's or city's before the state's.
export function lineAt(dates, day) {
  for (const lines of [...(dates.local ?? []), dates.adoption ?? []]) {
    const past = lines.filter((line) => line.effective <= day);
    if (past.length) return past.reduce((best, line) => (newer(line, best) ? line : best), null);
  }
  return null;
}

function byList(dates, day, first) {
  const line = lineAt(dates, day);
  if (!line) return verdict(CANNOT_TELL, "before the first line of the adoption list");
  const where = line.place ? ` in ${line.place}` : "";
  const found = byEdition(line.edition, first, `in force${where} since ${line.effective}`);
  const stale = dates.known_until && day > dates.known_until;
  if (stale && found.status === NOT_REQUIRED) return verdict(CANNOT_TELL, `the list is checked until ${dates.known_until}`);
  return found;
}
