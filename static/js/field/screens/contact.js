// The contact sheet: pictures tied to nothing yet, one tap for the picture and one for what
// it belongs to; then all the others by stop.
import { html, useState } from "../core/ui.js";
import { briefOf } from "../core/brief.js";
import { tie, untied } from "../core/photos.js";
import { count } from "../core/words.js";
import { Key, Row } from "../parts/keys.js";
import { Thumbs } from "../parts/photo_strip.js";
import { Screen } from "../parts/screen.js";

const TIED = new Set(["hand_finding", "observation", "receptacle", "enclosure", "box", "plate", "alarm", "measure", "limit"]);

export default function Contact({ app, visit }) {
  visit.version.value;
  const [picked, setPicked] = useState(null);
  const loose = untied(visit);
  const photo = picked && visit.rec(picked);
  const give = (fields, words) => app.saving(async () => {
    const before = { about: photo.about ?? null, use: photo.use };
    if (fields.about && fields.tie) await tie(visit, picked, fields.about);
    else await visit.set(picked, fields);
    const was = picked;
    app.undo(words, () => visit.set(was, before));
    setPicked(null);
  });
  return html`
    <${Screen} app=${app} visit=${visit} title="Pictures" over=${`${count(visit.of("photo").length, "picture")}, ${loose.length} tied to nothing`} back=${`/v/${visit.id}`}
      actions=${html`<${Key} label="From other cameras" href=${app.href(`/v/${visit.id}/bring`)} /><${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}`)} />`}>
      ${loose.length > 0 && html`<section class="part" aria-labelledby="loose"><h2 class="part__title" id="loose">Tied to nothing</h2>
        <p>General views may stay so. Pick one, then what it belongs to.</p>
        <${Thumbs} app=${app} visit=${visit} photos=${loose} onPick=${(id) => setPicked(id === picked ? null : id)} picked=${picked} /></section>`}
      ${photo && html`<section class="part" aria-labelledby="to"><h2 class="part__title" id="to">It belongs to</h2>
        <div class="rows">
          ${candidates(visit, photo).map(([id, record]) => html`<${Row} key=${id} ...${briefOf(visit, record)} onTap=${() => give({ about: id, tie: true }, "Tied.")} />`)}
          ${visit.stops().filter(([id]) => id !== photo.stop).map(([id, stop]) => html`<${Row} key=${id} title=${stop.name} note="another stop" onTap=${() => give({ stop: id, about: id }, `Moved to ${stop.name}.`)} />`)}
          <${Row} title="For me only" note="Kept, never printed" onTap=${() => give({ use: "for_me" }, "Kept for you.")} />
        </div></section>`}
      ${visit.stops().map(([id, stop]) => [id, stop, visit.at(id, "photo")]).filter(([, , photos]) => photos.length).map(([id, stop, photos]) => html`
        <section class="part" key=${id}><h2 class="part__title">${stop.name}</h2><${Thumbs} app=${app} visit=${visit} photos=${photos} /></section>`)}
    <//>`;
}

// What was recorded at the picture's own stop first, newest first.
const candidates = (visit, photo) => visit.at(photo.stop).filter(([, record]) => TIED.has(record.kind)).reverse();
