// Someone must be told now: what, a picture, who was told and when, what was left off. It
// becomes the draft of an urgent notice, a record of its own beside the report.
import { html } from "../core/ui.js";
import { useRecord } from "../core/use_record.js";
import { clockOf } from "../core/words.js";
import { Choice, Key } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { PhotoStrip } from "../parts/photo_strip.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

const CALLS = [
  "Smell of gas, fire, or a live wire within reach: everybody leaves, then the emergency number or the utility is called from outside. Touch nothing.",
  "Carbon monoxide: everybody goes out into the air before anything else.",
];

const HOW = [["in_person", "in person"], ["by_phone", "by phone"], ["by_message", "by message"], ["note_left", "a note left there"]];

export default function Hazard({ app, visit, params }) {
  visit.version.value;
  const at = `/v/${visit.id}/s/${params.stop}`;
  const { rec: made, record, save } = useRecord(app, visit, "hazard", { stop: params.stop });
  const told = (name) => save(name ? { told: name, told_at: app.instant() } : { told: null, told_at: null });
  const people = [...new Set([...(visit.about().attended ?? []).map((one) => one.name), ...(visit.pack.clients ?? []).map((one) => one.name)])];
  return html`
    <${Screen} app=${app} visit=${visit} title="Someone must be told now" over=${visit.rec(params.stop)?.name} back=${at}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${params.stop} about=${made} />
        <${Key} label="Done" name="done" look="main" onTap=${() => (record.what ? app.back(at) : app.fail("Write what it is in a few words first."))} />`}>
      ${CALLS.map((words) => html`<p class="caution" key=${words}>${words}</p>`)}
      <${TextField} label="What could hurt somebody" value=${record.what} lines=${3} max=${1000} onSave=${(what) => save({ what })} />
      <${Choice} legend=${record.told_at ? `Told at ${clockOf(record.told_at)}` : "Who was told"} value=${record.told} options=${people.map((one) => [one, one])} onPick=${told} />
      <${TextField} label="Somebody else was told" value=${people.includes(record.told) ? "" : record.told} max=${200} onSave=${told} />
      <${Choice} legend="How" value=${record.told_how} options=${HOW} onPick=${(told_how) => save({ told_how })} />
      <${TextField} label="What was left off" hint="Only if you or somebody there switched it off" value=${record.left_off} max=${200} onSave=${(text) => save({ left_off: text })} />
      <${PhotoStrip} app=${app} visit=${visit} about=${made} />
    <//>`;
}
