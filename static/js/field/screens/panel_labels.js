// The labels of a panel's spaces, typed one after the other; the keyboard's own "next" goes
// on to the next space, and what a label feeds is filled in where nothing stands yet.
import { html, useEffect, useRef } from "../core/ui.js";
import { loadOf } from "../core/loads.js";
import { EMPTY, columnsOf, spacesOf, valueOf } from "../core/panel.js";
import { wordOf } from "../core/words.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function PanelLabels({ app, visit, params }) {
  visit.version.value;
  const panel = visit.rec(params.enclosure) ?? {};
  const spaces = spacesOf(visit, params.enclosure);
  const rows = columnsOf(panel, spaces).flat().filter(({ space }) => space && !(space.space_kind in EMPTY)).sort((a, b) => a.number - b.number);
  const back = `/v/${visit.id}/p/${params.enclosure}`;
  const save = (id, label) => app.saving(() => visit.set(id, { label: label.trim() || null, ...(visit.rec(id).load ? {} : { load: loadOf(label) }) }));
  const boxes = useRef(null);
  // Nothing but typing happens here, so the first empty box has the keyboard.
  useEffect(() => [...boxes.current.querySelectorAll("input")].find((one) => !one.value)?.focus(), []);
  return html`
    <${Screen} app=${app} visit=${visit} title="Labels" over=${panel.name ?? "Panel"} back=${back} actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      ${!rows.length && html`<p>Paint the spaces first; fillers and open ones have no label.</p>`}
      <div class="fields" ref=${boxes}>${rows.map(({ number, numbers, id, space }) => html`
        <label class="text" key=${number}><span class="text__label">${numbers.join(", ")}: ${valueOf(space)}${space.load ? `, ${wordOf(visit.book, space.load)}` : ""}</span>
          <input class="text__box" type="text" maxlength="80" enterkeyhint="next" autocapitalize="sentences" defaultValue=${space.label ?? ""} data-space=${number}
            onBlur=${(event) => event.target.value !== (visit.rec(id).label ?? "") && save(id, event.target.value)} /></label>`)}</div>
    <//>`;
}
