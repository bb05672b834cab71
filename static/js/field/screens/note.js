// A note of a stop, for oneself and the reviewer.
import { html } from "../core/ui.js";
import { useRecord } from "../core/use_record.js";
import { Key } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

export default function Note({ app, visit, params }) {
  visit.version.value;
  const back = `/v/${visit.id}/s/${params.stop}`;
  const { rec, record, save } = useRecord(app, visit, "note", { stop: params.stop, about: params.stop });
  return html`
    <${Screen} app=${app} visit=${visit} title="A note" over=${visit.rec(params.stop)?.name} back=${back}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${params.stop} about=${rec} /><${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      <${TextField} label="In your words" focused lines=${4} max=${4000} value=${record.text} onSave=${(text) => save({ text })} />
    <//>`;
}
