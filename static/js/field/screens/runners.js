// Something left running: what, and when to go back; two taps.
import { html, useState } from "../core/ui.js";
import { MINUTES, WHAT, ringAt, running, stateOf } from "../core/runners.js";
import { clockOf } from "../core/words.js";
import { Choice, Key, Row } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";
import { TextField } from "../parts/text.js";

export default function Runners({ app, visit, params }) {
  visit.version.value;
  const [what, setWhat] = useState(null);
  const stop = params.stop ?? visit.stops().findLast(([, one]) => one.opened_at && !one.closed_at)?.[0] ?? visit.stops()[0]?.[0];
  const back = params.stop ? `/v/${visit.id}/s/${params.stop}` : `/v/${visit.id}`;
  const begin = (minutes) => app.saving(async () => {
    if (!what) return app.fail("Tap what runs first.");
    const now = app.now();
    const made = await visit.make("runner", { stop, what, started_at: now.toISOString(), ring_at: minutes ? ringAt(now, minutes) : null });
    app.undo(`${what} runs.`, () => visit.remove(made));
    setWhat(null);
    return app.back(back);
  });
  const ended = visit.of("runner").filter(([, one]) => one.ended_at);
  return html`
    <${Screen} app=${app} visit=${visit} title="What runs while you walk" over=${visit.rec(stop)?.name ?? ""} back=${back}
      actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      <${Choice} legend="What runs" value=${what} options=${WHAT.map((one) => [one, one])} onPick=${setWhat} />
      <${TextField} label="Or something else" value="" max=${80} onSave=${(text) => text && setWhat(text)} />
      <${Choice} legend="Call me in" value=${null} options=${[...MINUTES.map((one) => [one, `${one} min`]), [0, "do not call"]]} onPick=${(minutes) => begin(minutes)} />
      ${running(visit).map(([id, one]) => html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/r/${id}`)} title=${one.what} note=${stateOf(one, app.tick.value).words} mark="runs" />`)}
      ${ended.map(([id, one]) => html`<${Row} key=${id} look="done" href=${app.href(`/v/${visit.id}/r/${id}`)} title=${one.what} note=${`${clockOf(one.started_at)} to ${clockOf(one.ended_at)}`} />`)}
    <//>`;
}
