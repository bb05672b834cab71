// One reason, many gaps: what stood in the way, how far it reaches, who was told.
import { html } from "../core/ui.js";
import { useRecord } from "../core/use_record.js";
import { formOf, wordOf } from "../core/words.js";
import { Choice, Choices, Key } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

export default function Limit({ app, visit, params }) {
  visit.version.value;
  const at = `/v/${visit.id}/s/${params.stop}`;
  const { rec: made, record: held, save } = useRecord(app, visit, "limit", { reach: [params.stop] });
  const record = made ? held : { reach: [params.stop] };
  const names = visit.stops().map(([id, stop]) => [id, stop.name]);
  const systems = Object.entries(visit.book.system_words).map(([key, words]) => [`system:${key}`, words]);
  const people = visit.pack.clients ?? [];
  return html`
    <${Screen} app=${app} visit=${visit} title="Could not look, because" over=${visit.rec(params.stop)?.name} back=${at}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${params.stop} about=${made} />
        <${Key} label="Done" name="done" look="main" onTap=${() => (record.reason ? app.back(at) : app.fail("Tap what stood in the way first."))} />`}>
      <${Choice} legend="What stood in the way" keep value=${record.reason} options=${formOf(visit.book, "limit", "reason").options.map((one) => [one, wordOf(visit.book, one)])} onPick=${(reason) => save({ reason })} />
      <${TextField} label="In words" value=${record.text} lines=${2} max=${1000} phrases=${visit.book.items.phrases.limit ?? []} onSave=${(text) => save({ text })} />
      <${Choice} legend="Told" value=${record.told} options=${people.map((one) => [one.name, one.name])} onPick=${(told) => save({ told })} />
      <${Choice} legend="Come back to look, when it can be seen" value=${record.return_visit} options=${[[true, "Offer a return visit"], [false, "No return visit"]]} onPick=${(value) => save({ return_visit: value })} />
      <${Choices} legend="It reaches these stops" options=${names} values=${record.reach ?? []} onPick=${(reach) => save({ reach })} />
      <${Choices} legend="Or a whole system" options=${systems} values=${record.reach ?? []} onPick=${(reach) => save({ reach })} />
    <//>`;
}
