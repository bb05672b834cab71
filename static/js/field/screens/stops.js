// The route as it is walked: each stop earlier or later by a key, one more, or one less.
import { html, useState } from "../core/ui.js";
import { isEmpty, moveStop } from "../core/stops.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Stops({ app, visit }) {
  visit.version.value;
  const [off, setOff] = useState(false);
  const stops = visit.stops();
  const at = `/v/${visit.id}`;
  // The list is drawn anew around the key that was pressed: it keeps the focus.
  const move = (id, by) => app.saving(async () => {
    const place = await moveStop(visit, id, by);
    app.say(`${visit.rec(id).name}: now ${place} of ${stops.length}.`);
    setTimeout(() => {
      const row = document.querySelector(`[data-stop="${id}"]`);
      const key = row?.querySelector(by < 0 ? ".moves__earlier" : ".moves__later");
      (key?.disabled ? row.querySelector(".key:not([disabled])") : key)?.focus({ preventScroll: true });
      row?.scrollIntoView({ block: "nearest" });
    });
  });
  const remove = (id) => app.saving(async () => {
    const { name } = visit.rec(id);
    await visit.remove(id);
    app.undo(`Taken off: ${name}.`, () => visit.restore(id));
  });
  return html`
    <${Screen} app=${app} visit=${visit} title="Stops of this visit" over=${visit.pack.visit.property.street} back=${at}
      actions=${html`<${Key} label="Take off" hint="an empty one" pressed=${off} onTap=${() => setOff(!off)} />
        <${Key} label="Add a stop" look="main" href=${app.href(`${at}/stops/add`)} />`}>
      <p>${off ? "A stop where nothing was recorded can be taken off." : "Walk in any order; this is the order in which they are offered and told."}</p>
      <ol class="moves">${stops.map(([id, stop], place) => html`
        <li key=${id} class="moves__one" data-stop=${id}>
          <a class="moves__name" href=${app.href(`${at}/s/${id}/i/this_place`)}>${stop.name || "A stop without a name"}</a>
          ${off ? isEmpty(visit, id) && html`<button type="button" class="key key--small" aria-label=${`Take off: ${stop.name}`} onClick=${() => remove(id)}>Take off</button>`
            : html`<button type="button" class="key key--small moves__earlier" aria-label=${`Earlier: ${stop.name}`} disabled=${place === 0} onClick=${() => move(id, -1)}>Earlier</button>
              <button type="button" class="key key--small moves__later" aria-label=${`Later: ${stop.name}`} disabled=${place === stops.length - 1} onClick=${() => move(id, 1)}>Later</button>`}
        </li>`)}</ol>
    <//>`;
}
