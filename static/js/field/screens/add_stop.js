// One more stop: what it is, its name and floor. It falls in after the stop one stands at, or
// after the last of its kind.
import { html, useRef, useState } from "../core/ui.js";
import { addStop, kindsOf, nameFor } from "../core/stops.js";
import { formOf, wordOf } from "../core/words.js";
import { Choice, Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

export default function AddStop({ app, visit, params }) {
  visit.version.value;
  const [key, setKey] = useState(null);
  const own = useRef(null); // what was typed as its name, at once and not with the next drawing
  const [floor, setFloor] = useState(null);
  const after = visit.rec(params.stop);
  const up = after ? `/v/${visit.id}/s/${params.stop}` : `/v/${visit.id}/stops`;
  const kinds = kindsOf(visit.book.route);
  const kind = kinds.find((one) => one.key === key);
  const pick = (next) => {
    setKey(next);
    setFloor(kinds.find((one) => one.key === next)?.floor || after?.floor || null);
  };
  const add = () => app.saving(async () => {
    if (!kind) return app.fail("Say first what it is.");
    const name = own.current ?? nameFor(visit, kind);
    const rec = await addStop(visit, kind, { name, floor, after: params.stop ?? null });
    app.go(`/v/${visit.id}/s/${rec}`, { replace: true });
    return app.undo(`${name} added.`, async () => {
      await visit.remove(rec);
      app.go(up, { replace: true });
    });
  });
  return html`
    <${Screen} app=${app} visit=${visit} title="One more stop" over=${after ? `after ${after.name}` : visit.pack.visit.property.street} back=${up}
      actions=${html`<${Key} label="Add it" look="main" name="done" onTap=${add} />`}>
      <${Choice} legend="What it is" keep value=${key} options=${kinds.map((one) => [one.key, one.name])} onPick=${pick} />
      ${kind && html`
        <${TextField} key=${key} label="Name" value=${own.current ?? nameFor(visit, kind)} max=${80} onSave=${(name) => (own.current = name)} />
        <${Choice} legend="Floor" value=${floor} onPick=${setFloor}
          options=${formOf(visit.book, "stop", "floor").options.map((one) => [one, wordOf(visit.book, one)])} />`}
    <//>`;
}
