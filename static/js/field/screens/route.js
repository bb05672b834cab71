// The visit by stop: where we are, what is done, and the ways to what belongs to no stop.
import { html } from "../core/ui.js";
import { agreedAt, clockOf } from "../core/words.js";
import { Key, Row } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Route({ app, visit }) {
  visit.version.value;
  const stops = visit.stops();
  const at = `/v/${visit.id}`;
  const here = stops.find(([, stop]) => !stop.closed_at)?.[0];
  const { property } = visit.pack.visit;
  const conflicts = visit.conflicts().length;
  if (!stops.length) {
    return html`
      <${Screen} app=${app} visit=${visit} title=${property.street} over=${`${visit.pack.visit.number}, ${agreedAt(visit.pack.visit.starts_at, property.time_zone).clock}`} back="/"
        actions=${html`<${Key} label="Begin the walk" look="main" href=${app.href(`${at}/begin`)} />`}>
        <${Before} app=${app} visit=${visit} at=${at} />
      <//>`;
  }
  return html`
    <${Screen} app=${app} visit=${visit} title=${property.street} over=${`${visit.pack.visit.number}, ${property.city}`} back="/"
      actions=${html`
        <${Key} label="Before you drive off" href=${app.href(`${at}/leave`)} />
        ${here && html`<${Key} label="Go on" hint=${visit.rec(here).name} look="main" href=${app.href(`${at}/s/${here}`)} />`}`}>
      ${conflicts > 0 && html`<${Row} look="warn" href=${app.href(`${at}/conflicts`)} title=${`${conflicts} with two values`} note="Two phones wrote differently: choose one" mark="choose" />`}
      <section class="part" aria-labelledby="stops">
        <h2 class="part__title" id="stops">Stops</h2>
        <ol class="rows rows--counted">${stops.map(([id, stop]) => html`
          <li key=${id}><${Row} href=${app.href(`${at}/s/${id}`)} title=${stop.name || "A stop without a name"} note=${placeOf(visit, stop)}
            mark=${markOf(stop, id === here)} look=${id === here ? "here" : stop.closed_at ? "done" : ""} /></li>`)}</ol>
        <${Row} href=${app.href(`${at}/stops`)} title="Add, move or take off stops" note="A room more, or another order" />
      </section>
      <${Also} app=${app} visit=${visit} at=${at} />
    <//>`;
}

function markOf(stop, here) {
  if (stop.closed_at) return `closed ${clockOf(stop.closed_at)}`;
  if (stop.opened_at) return `begun ${clockOf(stop.opened_at)}`;
  return here ? "next" : "";
}

function placeOf(visit, stop) {
  const values = visit.book.labels.values;
  const word = (key) => values[key] ?? key?.replaceAll("_", " ");
  return [stop.floor && `${word(stop.floor)} floor`.replace("attic floor", "attic").replace("below ground floor", "below ground"), word(stop.corner)]
    .filter(Boolean).join(", ");
}

function Before({ app, visit, at }) {
  const { visit: about, people = [], agreement, recorders = [] } = visit.pack;
  return html`
    <section class="part"><h2 class="part__title">Before you go in</h2>
      <dl class="facts">
        ${about.access_note && html`<dt>Getting in</dt><dd>${about.access_note}</dd>`}
        ${about.property_note && html`<dt>The house</dt><dd>${about.property_note}</dd>`}
        ${people.map((one) => html`<dt key=${one.id}>${one.role ?? one.part}</dt><dd>${one.name}</dd>`)}
        ${recorders.length > 1 && html`<dt>Who records</dt><dd>${recorders.map((one) => `${one.name}${one.trainee ? ", in training" : ""}`).join("; ")}</dd>`}
        <dt>Agreement</dt><dd>${signedWords(visit.pack.clients, agreement)}</dd>
      </dl></section>
    <div class="rows">
      <${Row} href=${app.href(`${at}/ready`)} title="Ready for the basement?" note="What this phone needs before the signal goes" />
      <${Row} href=${app.href(`${at}/door`)} title="At the door" note="Signatures, a change of scope, payment" />
    </div>`;
}

function signedWords(clients = [], agreement) {
  if (!agreement) return "not sent";
  const open = clients.filter((one) => !one.signed_at).map((one) => one.name);
  return open.length ? `not signed by ${open.join(", ")}` : "signed";
}

function Also({ app, visit, at }) {
  const to = (path) => app.href(at + path);
  const untied = visit.of("photo").filter(([, photo]) => !photo.about).length;
  return html`
    <section class="part" aria-labelledby="also">
      <h2 class="part__title" id="also">For the whole visit</h2>
      <div class="rows">
        <${Row} href=${to("/arrival")} title="Arrival" note="Weather, who is here, the front" />
        <${Row} href=${to("/door")} title="At the door" note="Signatures, a change of scope, payment" />
        <${Row} href=${to("/means")} title="What it may mean" note="Everything the rules offer" />
        <${Row} href=${to("/photos")} title="Pictures" note="All of them, and those tied to nothing" mark=${untied ? `${untied} untied` : ""} />
        <${Row} href=${to("/runners")} title="What runs while you walk" />
        <${Row} href=${to("/as-left")} title="As found, as left" />
        <${Row} href=${to("/talk")} title="Talk-through" note="What matters first, and what was said" />
        <${Row} href=${to("/ready")} title="Ready for the basement?" />
        <${Row} href=${to("/copy")} title="Save a copy" note="An encrypted file, or a second phone" />
        <${Row} href=${to("/covered")} title="Cover the screen" note="For the pocket" />
      </div>
    </section>`;
}
