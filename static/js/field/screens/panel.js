// A panel: photograph, cover back on, then the map from the photo. Paint many alike first,
// exceptions last; rules look only when the map is marked done.
import { html, useState } from "../core/ui.js";
import { BRUSHES, mostOf, painted, spacesOf, stillEmpty } from "../core/panel.js";
import { count, first, wordOf } from "../core/words.js";
import { Choice, Key, Row, Stepper } from "../parts/keys.js";
import { PanelDrawn } from "../parts/panel_drawn.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { PhotoStrip } from "../parts/photo_strip.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";

const HOW = [["read", "read"], ["compared", "compared"], ["estimated", "estimated"], ["not_seen", "not seen"]];
const SIZES = [12, 16, 20, 24, 30, 32, 40, 42];

export default function Panel({ app, visit, params }) {
  visit.version.value;
  const rec = params.enclosure;
  const panel = visit.rec(rec);
  const [brush, setBrush] = useState(null);
  const [how, setHow] = useState("read");
  const up = panel?.stop ? `/v/${visit.id}/s/${panel.stop}` : `/v/${visit.id}`;
  if (!panel) return html`<${Screen} app=${app} visit=${visit} title="Not here" back=${up}><p>This enclosure was taken off.</p><//>`;
  const spaces = spacesOf(visit, rec);
  const most = mostOf(panel, spaces);
  const at = `/v/${visit.id}/p/${rec}`;
  const save = (fields) => app.saving(() => visit.set(rec, fields));
  const paint = (numbers) => app.saving(async () => {
    const before = numbers.map((number) => [spaces.get(number)?.[0], spaces.get(number)?.[1]]);
    const rows = await painted(visit, rec, numbers, brush, how);
    await visit.setAll(rows);
    app.undo(`${brush.words}: ${count(numbers.length, "space")}.`, () => undo(visit, rows, before));
  });
  const tap = (number) => (brush ? paint([number]) : app.go(`${at}/n/${number}`));
  const rest = stillEmpty(panel, spaces);
  return html`
    <${Screen} app=${app} visit=${visit} title=${panel.name ?? first(wordOf(visit.book, panel.enclosure_kind ?? "panelboard"))} over=${visit.rec(panel.stop)?.name} back=${up}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${panel.stop} about=${rec} />
        <${Key} label=${panel.map_done ? "Map is done" : "Map done"} hint=${rest.length ? `${rest.length} not read` : ""} look="main" name="map-done" pressed=${panel.map_done}
          onTap=${() => save({ map_done: !panel.map_done })} />`}>
      <div class="caution"><p>Photograph it, put the cover back on, then map from the photo. Keep others about ten feet back while it is open (common practice).</p>
        <details><summary>When to leave the cover on</summary><p>Leave it on, and say why, if it is hot, wet, corroded, buzzing, damaged, painted shut, blocked, or if anything gives you doubt. Never touch a conductor. Local codes, the authority having jurisdiction and a licensed electrician decide over anything shown here.</p></details></div>
      <${PhotoStrip} app=${app} visit=${visit} about=${rec} />
      <div class="rows">${most > 0 && html`<${Row} href=${app.href(`${at}/labels`)} title="Labels of the spaces" note="One after the other, by typing" />`}<${Row} href=${app.href(`${at}/facts`)} title="Main, bus, feeder, cover" note=${factsOf(visit, panel)} /></div>
      ${!panel.spaces && html`<${Choice} legend="How many spaces" value=${panel.spaces} options=${SIZES.map((one) => [one, String(one)])} onPick=${(value) => save({ spaces: value })} />`}
      ${most > 0 && html`
        <${Choice} legend="Pick a brush, then tap or sweep spaces" value=${brush?.key} options=${BRUSHES.map((one) => [one.key, one.words])} onPick=${(key) => setBrush(BRUSHES.find((one) => one.key === key) ?? null)} />
        ${brush?.fields.space_kind === "breaker" && html`<${Choice} legend="The wire was" keep value=${how} options=${HOW} onPick=${setHow} />`}
        ${brush && rest.length > 0 && html`<${Key} label=${`All ${rest.length} still empty`} hint=${brush.words} name="paint-rest" onTap=${() => { paint(rest); setBrush(null); }} />`}
        <${PanelDrawn} visit=${visit} panel=${panel} spaces=${spaces} onSpace=${tap} onSweep=${brush ? paint : null}
          top=${[panel.main_amps && `Main ${panel.main_amps} A`, panel.bus_amps && `bus ${panel.bus_amps} A`].filter(Boolean).join(", ")} bottom=${brush ? "A tap writes the brush" : "A tap opens one space"} />`}
      ${panel.spaces && html`<${Stepper} label="Spaces" value=${panel.spaces} max=${84} onChange=${(value) => save({ spaces: value })} />`}
      ${panel.map_done && html`<${ProposalLines} app=${app} visit=${visit} stop=${panel.stop} />`}
    <//>`;
}

function undo(visit, rows, before) {
  return visit.setAll(rows.map(([rec, fields], at) => {
    const [id, held] = before[at];
    if (!id) return [rec, { space_kind: "not_read" }];
    return [rec, Object.fromEntries(Object.keys(fields).map((name) => [name, held[name] ?? null]))];
  }));
}

function factsOf(visit, panel) {
  const word = (value) => wordOf(visit.book, value);
  return [panel.role && word(panel.role), panel.bus_amps && `bus ${panel.bus_amps} A`, panel.cover_removed && `cover ${word(panel.cover_removed)}`].filter(Boolean).join(", ") || "not written yet";
}
