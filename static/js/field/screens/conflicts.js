// Two values: what two phones wrote differently. A person chooses; nothing is overwritten.
import { html } from "../core/ui.js";
import { briefOf } from "../core/brief.js";
import { distinct } from "../fold.js";
import { clockOf, formOf, labelOf, wordOf } from "../core/words.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Conflicts({ app, visit }) {
  visit.version.value;
  const rows = visit.conflicts();
  return html`
    <${Screen} app=${app} visit=${visit} title="Two values" back=${`/v/${visit.id}`} actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}`)} />`}>
      ${!rows.length && html`<p>Nothing stands twice.</p>`}
      ${rows.map((row) => html`<${One} key=${row.rec + row.field} app=${app} visit=${visit} row=${row} />`)}
    <//>`;
}

// A place on the route is told by what stands before it there.
function sayOf(visit, row, value) {
  if (row.field !== "pos") return wordOf(visit.book, value);
  const before = visit.stops().filter(([id, stop]) => id !== row.rec && (stop.pos ?? "~") < (value ?? "~")).at(-1);
  return before ? `it after ${before[1].name}` : "it first";
}

function One({ app, visit, row }) {
  const heads = visit.outbox.headsOf(row.rec, row.field);
  const record = visit.rec(row.rec) ?? {};
  const gone = row.field === "_gone";
  const text = ["text", "line"].includes(formOf(visit.book, record.kind, row.field)?.form);
  const keep = (value) => app.saving(async () => {
    await visit.outbox.change(row.rec, { [row.field]: value });
    app.say("Chosen.");
  });
  const values = distinct(heads.map((head) => head.value));
  const by = (value) => heads.filter((head) => JSON.stringify(head.value) === JSON.stringify(value)).map((head) => `${head.by_name ?? "this phone"}, ${clockOf(head.at)}`).join("; ");
  const { title } = briefOf(visit, record);
  return html`
    <section class="part"><h2 class="part__title">${title}: ${gone ? "taken off, and changed" : row.field === "pos" ? "its place on the route" : labelOf(visit.book, record.kind, row.field)}</h2>
      ${gone ? html`<p>One phone took this off while another changed it.</p><div class="rows">
          <${Key} label="Keep it" onTap=${() => keep(false)} /><${Key} label="Take it off" onTap=${() => app.saving(() => visit.remove(row.rec))} /></div>`
        : html`<div class="rows">${values.map((value) => html`<${Key} key=${JSON.stringify(value)} label=${`Keep ${sayOf(visit, row, value)}`} hint=${by(value)} onTap=${() => keep(value)} />`)}
          ${text && html`<${Key} label="Keep both" hint="one after the other" onTap=${() => keep(values.join(" "))} />`}</div>`}
    </section>`;
}
