// Kept apart: entries that the server could not take as they are. None is lost; the office
// lets them in or asks.
import { html } from "../core/ui.js";
import { clockOf, labelOf, wordOf } from "../core/words.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Kept({ app, visit }) {
  visit.version.value;
  const released = new Set([...visit.outbox.mirror.values()].map((one) => one.release).filter(Boolean));
  const rows = [...visit.outbox.mirror.values()].filter((one) => one.status === "quarantined" && !released.has(one.id));
  return html`
    <${Screen} app=${app} visit=${visit} title="Kept apart" back=${`/v/${visit.id}/sync`} actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}/sync`)} />`}>
      ${!rows.length && html`<p>Nothing is kept apart. What the server cannot take as it is would stand here, whole.</p>`}
      <ul class="open-lines">${rows.map((one) => html`<li class="open-line" key=${one.id}>
        <p><strong>${labelOf(visit.book, visit.rec(one.rec)?.kind, one.field)}</strong>: ${wordOf(visit.book, one.value)}</p>
        <p class="small">${one.why ?? "no reason given"}. Entered ${clockOf(one.at)}${one.by_name ? ` by ${one.by_name}` : ""}. The office sees it too and can let it in.</p></li>`)}</ul>
    <//>`;
}
