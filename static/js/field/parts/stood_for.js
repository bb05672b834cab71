// The inspector was here with the trainee and stands for what was entered; one key per stop.
import { html } from "../core/ui.js";
import { inTraining, inspectorOf, traineesAt } from "../core/recorders.js";
import { clockOf } from "../core/words.js";
import { Key } from "./keys.js";

export function StoodFor({ app, visit, stop }) {
  const names = traineesAt(visit, stop);
  const at = visit.rec(stop).attested_at;
  if (!names.length) return null;
  const stand = () => app.saving(() => visit.set(stop, { attested_at: at ? null : app.instant() }));
  return html`
    <section class="part" aria-labelledby="training"><h2 class="part__title" id="training">Recorded in training</h2>
      ${inTraining(visit) ? html`<p>${at ? `${inspectorOf(visit)} was here and stands for it, ${clockOf(at)}.` : `${inspectorOf(visit)} has not stood for this stop yet.`}</p>`
        : html`<p>${names.join(", ")} recorded at this stop.</p>
          <${Key} label="I was here and stand for it" hint=${at ? `said at ${clockOf(at)}` : ""} pressed=${Boolean(at)} name="stand-for" onTap=${stand} />`}
    </section>`;
}
