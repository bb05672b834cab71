// The firm's passages: a few typed words find them; blanks filled from this stop's records.
import { html, useState } from "../core/ui.js";
import { boundAt, fillText, valuesAt } from "../core/blanks.js";
import { search } from "../core/search.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Passages({ app, visit }) {
  const [text, setText] = useState("");
  const stop = visit.stops().findLast(([, one]) => one.opened_at)?.[0];
  const values = stop ? valuesAt(visit, stop) : {};
  const here = stop ? visit.at(stop).map(([, one]) => one) : [];
  const filled = (one, part) => {
    const trade = visit.book.levels.trades[one.trade]?.words ?? "";
    return fillText(one[part], { trade, ...values, ...boundAt(here, one.binds) }, visit.book.blanks);
  };
  const hits = search(visit.book, text);
  return html`
    <${Screen} app=${app} visit=${visit} title="Passages" back=${`/v/${visit.id}`} actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}`)} />`}>
      <label class="text"><span class="text__label">A few words</span><input class="text__box" type="search" value=${text} autocapitalize="off" onInput=${(event) => setText(event.target.value)} /></label>
      ${hits.map((one) => html`<section class="part" key=${one.key}><h2 class="part__title">${one.title}</h2>
        ${["seen", "matters", "action"].map((part) => html`<p key=${part}>${filled(one, part)}</p>`)}</section>`)}
      ${text.trim().length > 1 && !hits.length && html`<p>No passage is like that. “Say it” at a stop takes anything.</p>`}
    <//>`;
}
