// Beginning a walk: how many rooms of each kind, the usual ones filled in; then the stops.
import { html, useState } from "../core/ui.js";
import { asked, begin } from "../core/begin.js";
import { Key, Stepper } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Begin({ app, visit }) {
  const rows = asked(visit.book.route);
  const [counts, setCounts] = useState(Object.fromEntries(rows.map((row) => [row.key, row.usual])));
  const [busy, setBusy] = useState(false);
  const rooms = rows.reduce((sum, row) => sum + counts[row.key], 0);
  const start = async () => {
    setBusy(true);
    await app.saving(() => begin(visit, counts, app.instant()));
    app.go(`/v/${visit.id}`, { replace: true });
  };
  return html`
    <${Screen} app=${app} visit=${visit} title="What is there to walk" over=${visit.pack.visit.property.street} back=${`/v/${visit.id}`}
      actions=${html`<${Key} label="Begin the walk" look="main" hint=${`${rooms} of these and the outside`} disabled=${busy} onTap=${start} />`}>
      <p>Count the rooms; the outside, the roof and the service equipment are there anyway. Names, floors and more rooms can come later.</p>
      ${rows.map((row) => html`<${Stepper} key=${row.key} label=${row.name} value=${counts[row.key]} max=${row.most}
        onChange=${(value) => setCounts({ ...counts, [row.key]: value })} />`)}
    <//>`;
}
