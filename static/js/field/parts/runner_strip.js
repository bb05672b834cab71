// What runs while we walk, on every screen of the visit; it calls when its time is up.
import { html, useEffect, useRef } from "../core/ui.js";
import { running, stateOf } from "../core/runners.js";

export function RunnerStrip({ app, visit }) {
  visit.version.value;
  const now = app.tick.value;
  const rows = running(visit).map(([id, one]) => [id, one, stateOf(one, now)]);
  const ringing = rows.filter(([, , state]) => state.rings).length;
  const rang = useRef(0);
  useEffect(() => {
    if (ringing > rang.current) navigator.vibrate?.([200, 100, 200]);
    rang.current = ringing;
  }, [ringing]);
  if (!rows.length) return null;
  const stop = (id, what) => app.saving(async () => {
    await visit.set(id, { ended_at: app.instant() });
    app.undo(`${what} is off.`, () => visit.set(id, { ended_at: null }));
  });
  return html`
    <ul class="runners" aria-label="What runs">${rows.map(([id, one, state]) => html`
      <li key=${id} class=${state.rings ? "runners__one runners__one--rings" : "runners__one"} role=${state.rings ? "alert" : undefined}>
        <span><strong>${one.what ?? "Something"}</strong>, ${visit.rec(one.stop)?.name ?? "the house"}: ${state.words}</span>
        <button type="button" class="key key--small" onClick=${() => stop(id, one.what ?? "It")}>It is off</button></li>`)}</ul>`;
}
