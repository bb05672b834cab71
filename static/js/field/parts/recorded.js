// What has been recorded at a stop, newest first; each line leads to its record.
import { html } from "../core/ui.js";
import { briefOf } from "../core/brief.js";
import { whose } from "../core/recorders.js";
import { Row } from "./keys.js";

const ELSEWHERE = new Set(["photo", "mark", "duty", "decision", "typed_right", "enclosure", "space"]);

export function Recorded({ app, visit, stop }) {
  visit.calm.value;
  const rows = visit.at(stop).filter(([, record]) => !ELSEWHERE.has(record.kind)).reverse();
  if (!rows.length) return null;
  return html`
    <section class="part" aria-labelledby="recorded">
      <h2 class="part__title" id="recorded">Recorded here</h2>
      <div class="rows">${rows.map(([id, record]) => {
        const { title, note } = briefOf(visit, record);
        return html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/r/${id}`)} title=${title} note=${note}
          mark=${[whose(visit, id), record.on_site === false && "after leaving"].filter(Boolean).join(", ")} />`;
      })}</div>
    </section>`;
}
