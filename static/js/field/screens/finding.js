// Something wrong, in your words: one dictated line and a photo. Level and words come at the
// desk; a passage of the firm's can be taken here where one fits.
import { html, useState } from "../core/ui.js";
import { search } from "../core/search.js";
import { useRecord } from "../core/use_record.js";
import { first, wordOf } from "../core/words.js";
import { Choice, Key, Row } from "../parts/keys.js";
import { PhotoStrip } from "../parts/photo_strip.js";
import { Shutter } from "../parts/photo_keys.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

export default function Finding({ app, visit, params }) {
  visit.version.value;
  const [all, setAll] = useState(false);
  const { stop } = params;
  const { rec: made, record, save, begin } = useRecord(app, visit, "hand_finding", { stop });
  const back = `/v/${visit.id}/s/${stop}`;
  const take = ({ item, system, consequence, timing, trade }) => save({ item: item || null, system, consequence, timing, trade });
  // A picture taken first belongs to what is said after it.
  const tieLoose = async (photos) => {
    const rec = await begin();
    if (rec) await app.saving(() => visit.setAll(photos.map((photo) => [photo, { about: rec, use: "shows_it" }])));
    if (!record.line) return;
    // One line and a picture are the whole of it on site; the rest is for the desk.
    app.back(back);
    app.undo("Kept with its picture.", () => app.go(`/v/${visit.id}/r/${rec}`), "One more picture");
  };
  const hits = record.line ? search(visit.book, record.line, { system: record.system, most: 4 }) : [];
  const { consequences, timings } = visit.book.levels;
  const labels = (from) => Object.entries(from).map(([key, one]) => [key, one.label]);
  return html`
    <${Screen} app=${app} visit=${visit} title="Something wrong" over=${visit.rec(stop)?.name} back=${back}
      actions=${html`<${Shutter} app=${app} visit=${visit} stop=${stop} about=${made} label="Photo" look="plain" camera onKept=${tieLoose} />
        <${Key} label="Done" name="done" look="main" onTap=${() => (record.line || !made ? app.back(back) : app.fail("Say it in one line, or take the entry off."))} />`}>
      <${TextField} label="In one line; dictate it if you like" focused value=${record.line} lines=${3} max=${2000} onSave=${(line) => save({ line })} />
      <${PhotoStrip} app=${app} visit=${visit} about=${made} />
      ${hits.length > 0 && html`<section class="part" aria-label="The firm's passages"><h2 class="part__title">Like one of the firm's</h2>
        <div class="rows">${hits.map((one) => html`<${Row} key=${one.key} title=${one.title} note=${`${first(wordOf(visit.book, one.trade))}, ${consequences[one.consequence]?.label.toLowerCase()}`}
          mark=${record.item === one.item && record.system === one.system ? "taken" : ""} onTap=${() => take(one)} />`)}</div></section>`}
      ${all || record.consequence ? html`
        <${Choice} legend="How much it matters" value=${record.consequence} options=${labels(consequences)} onPick=${(consequence) => save({ consequence })} />
        <${Choice} legend="How soon" value=${record.timing} options=${labels(timings)} onPick=${(timing) => save({ timing })} />`
        : html`<${Key} look="quiet" label="Say now how much it matters" onTap=${() => setAll(true)} />`}
    <//>`;
}
