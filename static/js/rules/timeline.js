// What a state, and a county or city in it, says of when editions took effect: timelines.py.
const STATE_FAMILY = "nec";
const COUNTIES = ["county", "parish", "borough"];

// "Orange" is a city, "Orange County" is not; "St. Clair" and "St Clair" are one.
const plain = (place) => place.toUpperCase().toLowerCase().replaceAll(".", " ").split(/\s+/u).filter(Boolean).join(" ");
const same = (place, places) => places.some((one) => one && plain(place) === plain(one));

// The dates of an item with what the place says of the topic: county and city before the
// state, what is said of the topic before what is said of all.
export function withLines(timeline, dates, topic, code, places) {
  if (!timeline) return dates;
  const own = code === STATE_FAMILY ? timeline.lines : timeline.families[code] ?? [];
  const here = timeline.local.filter((one) => one.code === code && same(one.place, places));
  const topical = here.filter((one) => one.topic === topic).map((one) => one.line);
  const general = here.filter((one) => !one.topic).map((one) => one.line);
  const amendment = topical.length ? null : timeline.amendments?.[topic] ?? null;
  if (!own.length && !here.length && amendment === null) return dates;
  const local = [topical, general].filter((lines) => lines.length);
  return { ...dates, adoption: own, local, known_until: timeline.known_until, amendment, place: timeline.place };
}

// The names under which a property's city and county are looked up.
export function placesOf(city, county) {
  const names = [String(city || "").trim()];
  const own = String(county || "").trim();
  if (own) {
    const namedSo = COUNTIES.includes(own.toLowerCase().split(" ").pop());
    names.push(...(namedSo ? [own] : COUNTIES.map((kind) => `${own} ${kind}`)));
  }
  return names.filter(Boolean);
}
