// Ready for the basement? One screen, each line good or not, each "not" with what to do.
import { html, useEffect, useState } from "../core/ui.js";
import { checks } from "../core/readiness.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Ready({ app, visit }) {
  const [rows, setRows] = useState(null);
  const look = () => {
    setRows(null);
    checks(app, visit).then(setRows);
  };
  useEffect(look, []);
  const bad = (rows ?? []).filter((row) => !row.good).length;
  return html`
    <${Screen} app=${app} visit=${visit} title="Ready for the basement?" back=${`/v/${visit.id}`}
      actions=${html`<${Key} label="Look again" onTap=${look} /><${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}`)} />`}>
      <p role="status">${rows === null ? "Looking…" : bad ? `${bad} to mend. You may go on all the same; each line says the risk.` : "Ready."}</p>
      <ul class="checks">${(rows ?? []).map((row) => html`<li key=${row.name} class=${row.good ? "checks__one" : "checks__one checks__one--bad"}>
        <strong>${row.good ? "✓ " : "! "}${row.name}</strong><span>${row.words}</span></li>`)}</ul>
    <//>`;
}
