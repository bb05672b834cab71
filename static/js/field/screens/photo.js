// One picture: what it shows, its words, and its marks.
import { html, useState } from "../core/ui.js";
import { COLOURS, SHAPES, moved } from "../core/marks.js";
import { briefOf } from "../core/brief.js";
import { tie } from "../core/photos.js";
import { mayTakeOff, recordedBy } from "../core/recorders.js";
import { wordOf } from "../core/words.js";
import { Choice, Key } from "../parts/keys.js";
import { MarkSheet } from "../parts/mark_sheet.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

const USES = ["general_view", "shows_it", "plate", "for_me"];
const STEP = 200;
const NUDGES = [["Up", 0, -STEP], ["Down", 0, STEP], ["Left", -STEP, 0], ["Right", STEP, 0]];
const TIED = new Set(["hand_finding", "observation", "receptacle", "enclosure", "box", "plate", "alarm", "alarm_look", "measure", "limit", "stair", "guard", "equipment", "wall"]);

export default function Photo({ app, visit, params }) {
  visit.version.value;
  const photo = visit.rec(params.rec);
  const up = photo?.stop ? `/v/${visit.id}/s/${photo.stop}` : `/v/${visit.id}`;
  const [shape, setShape] = useState(null);
  const [colour, setColour] = useState("red");
  const [text, setText] = useState("");
  if (!photo) return html`<${Screen} app=${app} visit=${visit} title="Taken off" back=${up}><p>This picture was taken off the visit; its bytes stay on the phone.</p><//>`;
  const marks = visit.of("mark", { photo: params.rec });
  const last = marks.at(-1);
  const save = (fields) => app.saving(() => visit.set(params.rec, fields));
  const made = (points) => app.saving(() => visit.make("mark", {
    photo: params.rec, shape, points, colour: shape === "blur" ? "ink" : colour, text: shape === "text" ? text || "here" : null,
  }));
  const nudge = (dx, dy) => app.saving(() => visit.set(last[0], { points: moved(last[1].points, dx, dy) }));
  const off = (rec, words) => app.saving(async () => {
    await visit.remove(rec);
    app.undo(words, () => visit.restore(rec));
    if (rec === params.rec) app.back(up);
  });
  return html`
    <${Screen} app=${app} visit=${visit} title=${photo.caption || "Picture"} over=${visit.rec(photo.stop)?.name ?? "no stop yet"} back=${up}
      actions=${html`${mayTakeOff(visit, params.rec) && html`<${Key} label="Take it off" look="quiet" onTap=${() => off(params.rec, "Picture taken off.")} />`}
        <${Key} label="Done" name="done" look="main" onTap=${() => app.back(up)} />`}>
      ${recordedBy(visit, params.rec) && html`<p>${recordedBy(visit, params.rec)}</p>`}
      <${MarkSheet} app=${app} visit=${visit} photo=${params.rec} shape=${shape} colour=${colour} text=${text} onMade=${made} />
      <${Choice} legend="Mark with" value=${shape} options=${SHAPES.map((one) => [one, wordOf(visit.book, one)])} onPick=${setShape} />
      ${shape && html`<p class="small" role="status">${shape === "text" ? "Tap where the words stand." : shape === "freehand" ? "Draw it." : "Tap one end, then the other; or draw."}</p>`}
      ${shape === "text" && html`<${TextField} label="Words on the picture" value=${text} max=${120} onSave=${(words) => setText(words ?? "")} />`}
      ${shape && shape !== "blur" && html`<${Choice} legend="Color" keep value=${colour} options=${COLOURS.map((one) => [one, one])} onPick=${setColour} />`}
      ${last && html`<fieldset class="pick"><legend class="pick__legend">The last mark</legend><div class="pick__keys">
        ${NUDGES.map(([words, dx, dy]) => html`<button type="button" class="pick__key" key=${words} onClick=${() => nudge(dx, dy)}>${words}</button>`)}
        <button type="button" class="pick__key" onClick=${() => off(last[0], "Mark taken off.")}>Take it off</button></div></fieldset>`}
      <${TextField} label="What it shows, in words" value=${photo.caption} lines=${2} max=${300} onSave=${(caption) => save({ caption })} />
      <${Choice} legend="Used as" keep value=${photo.use} options=${USES.map((one) => [one, wordOf(visit.book, one)])} onPick=${(use) => save({ use })} />
      <${About} app=${app} visit=${visit} rec=${params.rec} photo=${photo} />
    <//>`;
}

// What it belongs to: the records of its stop and the panels of the house, one tap each.
function About({ app, visit, rec, photo }) {
  const here = visit.at(photo.stop).filter(([, record]) => TIED.has(record.kind)).reverse();
  // A panel is often shown from elsewhere: its meter, its mast, the far end of its feeder.
  const panels = visit.of("enclosure").filter(([, record]) => record.stop !== photo.stop);
  const options = [...here, ...panels].map(([id, record]) => [id, briefOf(visit, record).title]);
  if (!options.length) return null;
  return html`<${Choice} legend="Belongs to" value=${photo.about} options=${options}
    onPick=${(about) => app.saving(() => (about ? tie(visit, rec, about) : visit.set(rec, { about: photo.stop })))} />`;
}
