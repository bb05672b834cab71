// What is still open, of a stop or of the whole visit: each line answered where it stands.
import { html, useState } from "../core/ui.js";
import { dutyOf, openOf } from "../core/ledger.js";
import { first } from "../core/words.js";
import { Key } from "./keys.js";
import { TextField } from "./text.js";

const VERBS = { inspect: "looked", describe: "described", operate: "operated", report: "described" };
const SAYS = { looked: "Looked, nothing noted", described: "Describe it", operated: "Operated" };
const MOST = 6;

export function OpenLines({ app, visit, stop = null, leave = new Set() }) {
  visit.version.value;
  const [all, setAll] = useState(false);
  const lines = openOf(visit, stop).filter((line) => !leave.has(line.duty))
    .sort((a, b) => Number(b.needs_feet) - Number(a.needs_feet));
  if (!lines.length) return html`<p>Nothing is open ${stop ? "at this stop" : ""}.</p>`;
  const shown = all ? lines : lines.slice(0, MOST);
  return html`
    <ul class="open-lines">${shown.map((line) => html`<li key=${`${line.duty} ${line.stop}`}>
      <${OpenLine} app=${app} visit=${visit} line=${line} named=${!stop} /></li>`)}</ul>
    ${lines.length > MOST && html`<${Key} look="small" label=${all ? "Fewer" : `All ${lines.length}`} onTap=${() => setAll(!all)} />`}`;
}

// One duty: what it asks, and the answers that close it. A text opens only where it is wanted.
export function OpenLine({ app, visit, line, named = true }) {
  const duty = dutyOf(visit, line.duty);
  const [writing, setWriting] = useState(null);
  const held = visit.of("duty", { duty: line.duty }).find(([, one]) => !one.stop || one.stop === line.stop);
  const answer = (fields) => app.saving(async () => {
    if (held) return visit.set(held[0], fields);
    const made = await visit.make("duty", { duty: line.duty, stop: line.stop || null, ...fields });
    app.undo("Answered.", () => visit.remove(made));
    return made;
  });
  const verb = VERBS[duty.duty];
  const asksText = verb === "described";
  return html`
    <div class="open-line">
      <p class="open-line__asks">${named && line.stop ? `${line.place}: ` : ""}${first(line.hint)}</p>
      <div class="open-line__keys">
        <${Key} look="small" label=${SAYS[verb]} pressed=${writing === verb} onTap=${() => (asksText ? setWriting(verb) : answer({ answer: verb }))} />
        <${Key} look="small" label="Not there" onTap=${() => answer({ answer: "not_present" })} />
        <${Key} look="small" label="Not inspected, because" pressed=${writing === "not_inspected"} onTap=${() => setWriting("not_inspected")} />
      </div>
      ${writing && html`<${TextField} label=${writing === "described" ? "What it is, in words" : "Because"} lazy lines=${2} max=${2000} value=${held?.[1].text}
        onSave=${(text) => text && answer({ answer: writing, text })} />`}
    </div>`;
}
