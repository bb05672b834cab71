// The enclosure drawn as it is. In painting, a tap or a sweep of the finger writes the brush.
import { classes, html, useRef } from "../core/ui.js";
import { columnsOf, moreOf, valueOf, wireOf } from "../core/panel.js";
import { wordOf } from "../core/words.js";

export function PanelDrawn({ visit, panel, spaces, onSpace, onSweep = null, chosen = new Set(), top, bottom }) {
  const columns = columnsOf(panel, spaces);
  const swept = useRef(null);
  const numberAt = (event) => Number(document.elementFromPoint(event.clientX, event.clientY)?.closest("[data-number]")?.dataset.number) || null;
  const down = (event) => {
    if (!onSweep) return;
    const number = numberAt(event);
    if (number) swept.current = new Set([number]);
  };
  const move = (event) => {
    const number = swept.current && numberAt(event);
    if (!number) return;
    // A quick finger skips rows: those between are meant too.
    for (const one of between(columns, [...swept.current].at(-1), number)) swept.current.add(one);
  };
  const up = () => {
    const held = swept.current;
    swept.current = null;
    if (held && held.size > 1) onSweep([...held]);
  };
  return html`
    <section class="panel" aria-label="The enclosure, drawn" onPointerDown=${down} onPointerMove=${move} onPointerUp=${up}>
      ${top && html`<p class="panel__top">${top}</p>`}
      <div class=${classes("panel__columns", columns.length === 1 && "panel__columns--one")}>
        ${columns.map((column, at) => html`<ol class="panel__column" key=${at} aria-label=${columns.length === 1 ? "Spaces" : at ? "Right column" : "Left column"}>
          ${column.map((row) => html`<${Space} key=${row.number} visit=${visit} row=${row} chosen=${chosen.has(row.number)} onSpace=${onSpace} />`)}</ol>`)}
      </div>
      ${bottom && html`<p class="panel__bottom">${bottom}</p>`}
    </section>`;
}

// The numbers from one to another down or up a column; across columns only the other one.
function between(columns, from, to) {
  const column = columns.map((rows) => rows.map((row) => row.number)).find((numbers) => numbers.includes(from) && numbers.includes(to));
  if (!column) return [to];
  const [start, end] = [column.indexOf(from), column.indexOf(to)];
  const run = column.slice(Math.min(start, end), Math.max(start, end) + 1);
  return start < end ? run : run.reverse();
}

function Space({ visit, row, chosen, onSpace }) {
  const { number, numbers, space } = row;
  const word = (one) => wordOf(visit.book, one);
  const span = Math.min(numbers.length, 3);
  return html`
    <li class=${classes("space", span === 2 && "space--two", span === 3 && "space--three", !space && "space--unread")}>
      <button type="button" class="space__key" data-number=${number} aria-pressed=${String(chosen)} onClick=${() => onSpace(number)}>
        <span class="space__number">${numbers.join(", ")}</span>
        <span class="space__text"><span class="space__value">${valueOf(space) || "–"}</span><span class="space__wire">${wireOf(space, word)}</span>
          <span class="space__more">${moreOf(space, word)}</span><span class="space__label">${space?.label ?? ""}</span></span>
      </button></li>`;
}
