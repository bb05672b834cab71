// The enclosures at a stop, and the way to add one.
import { html, useState } from "../core/ui.js";
import { first, formOf, wordOf } from "../core/words.js";
import { Choice, Key, Row } from "./keys.js";

export function Panels({ app, visit, stop }) {
  visit.version.value;
  const [adding, setAdding] = useState(false);
  const kind = visit.rec(stop)?.stop_kind;
  if (!visit.book.items.enclosure_kinds.includes(kind)) return null;
  const panels = visit.at(stop, "enclosure");
  const main = kind === "service_equipment";
  if (!main && !panels.length && !adding) {
    return html`<${Key} look="quiet" label="A panel or disconnect is here" onTap=${() => setAdding(true)} />`;
  }
  const add = async (enclosureKind) => {
    const made = await app.saving(() => visit.make("enclosure", { stop, enclosure_kind: enclosureKind }));
    if (made) app.go(`/v/${visit.id}/p/${made}`);
  };
  return html`
    <section class="part" aria-labelledby="panels">
      <h2 class="part__title" id="panels">Panels</h2>
      <div class="rows">${panels.map(([id, panel]) => html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/p/${id}`)}
        title=${panel.name ?? first(wordOf(visit.book, panel.enclosure_kind ?? "panelboard"))}
        note=${panel.location ?? ""} mark=${panel.map_done ? "map done" : ""} />`)}</div>
      ${(adding || !panels.length) ? html`<${Choice} legend="What is it?" value=${null}
          options=${formOf(visit.book, "enclosure", "enclosure_kind").options.map((one) => [one, wordOf(visit.book, one)])} onPick=${add} />`
        : html`<${Key} look="quiet" label="Another one" onTap=${() => setAdding(true)} />`}
    </section>`;
}
