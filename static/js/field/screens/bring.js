// Pictures from other cameras: how far the camera's clock is off, then each falls to the
// stop that was open at its time; what fits none waits among those tied to nothing.
import { html, useState } from "../core/ui.js";
import { corrected, offsetFrom, stopAt } from "../core/clock_offset.js";
import { ACCEPTED, keepPicture } from "../core/photos.js";
import { headOf, takenAt } from "../core/picture_head.js";
import { clockOf, count } from "../core/words.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

const HEAD = 256 * 1024; // the part of a file that holds what the camera says

export default function Bring({ app, visit }) {
  const [files, setFiles] = useState([]);
  const [shown, setShown] = useState("");
  const [now, setNow] = useState("");
  const [done, setDone] = useState(null);
  const offset = offsetOf(shown, now);
  const picked = async (event) => {
    const found = [];
    for (const file of event.target.files) {
      const taken = takenAt(headOf(await file.slice(0, HEAD).arrayBuffer()).taken);
      found.push({ file, taken });
    }
    setFiles(found);
    const first = found.find((one) => one.taken);
    if (first) setShown(timeText(first.taken));
  };
  const bring = async () => {
    let [placed, left] = [0, 0];
    for (const { file, taken } of files) {
      const at = taken && offset !== null ? corrected(taken, offset) : null;
      const stop = at && stopAt(visit.stops(), at.getTime());
      const made = await app.saving(() => keepPicture(app, visit, file, { stop, taken: at?.toISOString() ?? null }));
      if (!made) break;
      if (stop) placed += 1;
      else left += 1;
    }
    setFiles([]);
    setDone({ placed, left });
  };
  return html`
    <${Screen} app=${app} visit=${visit} title="From other cameras" back=${`/v/${visit.id}/photos`}
      actions=${html`<${Key} label=${files.length ? `Bring in ${files.length}` : "Choose pictures first"} look="main" disabled=${!files.length} onTap=${bring} />`}>
      <p>Photograph this phone's clock with the other camera once. Then write what that camera says its time was, and what the clock in the picture shows.</p>
      <label class="text"><span class="text__label">Pictures</span><input class="text__box" type="file" multiple accept=${ACCEPTED} onChange=${picked} /></label>
      ${files.length > 0 && html`<ul>${files.slice(0, 12).map(({ file, taken }) => html`<li key=${file.name}>${file.name}: ${taken ? `the camera says ${timeText(taken)}` : "the camera says no time"}</li>`)}</ul>`}
      <label class="text"><span class="text__label">The camera said</span><input class="text__box" type="time" step="1" value=${shown} onInput=${(event) => setShown(event.target.value)} /></label>
      <label class="text"><span class="text__label">It really was</span><input class="text__box" type="time" step="1" value=${now} onInput=${(event) => setNow(event.target.value)} /></label>
      <p role="status">${offset === null ? "Without both times every picture waits among those tied to nothing." : `The camera is ${words(offset)}.`}</p>
      ${done && html`<p role="status">${count(done.placed, "picture")} found their stop, ${done.left} wait to be tied. ${clockOf(app.instant())}</p>`}
    <//>`;
}

const timeText = (at) => at.toTimeString().slice(0, 8);

export function offsetOf(shown, now) {
  const seconds = (text) => {
    const found = /^(\d\d):(\d\d)(?::(\d\d))?$/.exec(text);
    return found ? Number(found[1]) * 3600 + Number(found[2]) * 60 + Number(found[3] ?? 0) : null;
  };
  const [camera, real] = [seconds(shown), seconds(now)];
  return camera === null || real === null ? null : offsetFrom(camera * 1000, real * 1000);
}

function words(offset) {
  const minutes = Math.abs(offset) / 60;
  if (offset === 0) return "right";
  return `${minutes < 1 ? count(Math.abs(offset), "second") : count(Math.round(minutes), "minute")} ${offset > 0 ? "slow" : "fast"}`;
}
