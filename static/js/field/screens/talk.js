// Talk-through: what matters first, with its pictures; what was told, to whom, what was promised.
import { html, useState } from "../core/ui.js";
import { mattersFirst } from "../core/matters.js";
import { whose } from "../core/recorders.js";
import { useRecord } from "../core/use_record.js";
import { Choices, Key, Row } from "../parts/keys.js";
import { Thumbs } from "../parts/photo_strip.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

export default function Talk({ app, visit }) {
  visit.version.value;
  const at = `/v/${visit.id}`;
  const [told, setTold] = useState([]);
  const { record, save } = useRecord(app, visit, "told", {}, visit.of("told").at(-1)?.[0] ?? null);
  const matters = mattersFirst(visit);
  const people = (visit.about().attended ?? visit.pack.visit.people ?? []).map((one) => one.name);
  const tick = (one) => {
    const next = told.includes(one.id) ? told.filter((id) => id !== one.id) : [...told, one.id];
    setTold(next);
    const words = matters.filter((row) => next.includes(row.id)).map((row) => row.title);
    save({ text: words.length ? `Spoken through: ${words.join("; ")}.`.slice(0, 1000) : null });
  };
  return html`
    <${Screen} app=${app} visit=${visit} title="Talk-through" over="What matters first" back=${at} actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(at)} />`}>
      ${matters.map((one) => html`<section class="part" key=${one.id}>
        <${Row} title=${one.title} note=${[one.place, whose(visit, one.id)].filter(Boolean).join(", ")} mark=${told.includes(one.id) ? "told" : "tap when told"} look=${told.includes(one.id) ? "done" : ""} onTap=${() => tick(one)} />
        ${one.photos.length > 0 && html`<${Thumbs} app=${app} visit=${visit} photos=${one.photos} />`}</section>`)}
      ${!matters.length && html`<p>Nothing is written yet that would have to be told.</p>`}
      ${people.length > 0 && html`<${Choices} legend="Who was present" options=${people.map((one) => [one, one])} values=${(record.present ?? "").split(", ").filter(Boolean)} onPick=${(names) => save({ present: names.join(", ") || null })} />`}
      <${TextField} label="What was said" value=${record.text} lines=${3} max=${1000} onSave=${(text) => save({ text })} />
      <${TextField} label="What was promised" value=${record.promised} lines=${2} max=${500} onSave=${(promised) => save({ promised })} />
    <//>`;
}
