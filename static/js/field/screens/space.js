// One space of a panel: the exceptions that no brush fits.
import { html, useEffect, useState } from "../core/ui.js";
import { mostOf, spaceId, spacesOf } from "../core/panel.js";
import { Form } from "../parts/form.js";
import { Choice, Key } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";

const FIRST = ["space_kind", "amps", "poles", "size", "material", "how", "protection", "under_screw", "state", "label", "load"];
const MORE = ["stranding", "tandem", "screw_allows", "state_reason", "neutral_shared", "neutral_legs", "handle_tie", "plate_mca", "plate_mocp", "plate_watts", "plate_volts"];
const EMPTY = new Set(["blank_filler", "open", "not_read"]);

export default function Space({ app, visit, params }) {
  visit.version.value;
  const number = Number(params.number);
  const panel = visit.rec(params.enclosure) ?? {};
  const [rec, setRec] = useState(null);
  useEffect(() => {
    Promise.resolve(spaceId(visit, params.enclosure, number)).then(setRec);
  }, [params.enclosure, number]);
  const back = `/v/${visit.id}/p/${params.enclosure}`;
  const most = mostOf(panel, spacesOf(visit, params.enclosure));
  const held = rec && visit.rec(rec);
  const to = (other) => app.go(`${back}/n/${other}`, { replace: true });
  if (!rec) return html`<${Screen} app=${app} visit=${visit} title=${`Space ${number}`} back=${back}><p>Opening…</p><//>`;
  const line = { fields: [...FIRST, ...MORE], onEmpty: () => app.back(back) };
  const given = { app, visit, kind: "space", rec: held ? rec : null, preset: { enclosure: params.enclosure, number }, fixed: rec };
  return html`
    <${Screen} app=${app} visit=${visit} title=${`Space ${number}`} over=${panel.name ?? "Panel"} back=${back}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${panel.stop} about=${held ? rec : params.enclosure} />
        ${number < most && html`<${Key} label="Next space" onTap=${() => to(number + 1)} />`}<${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      <${Form} key=${`first ${number}`} ...${given} fields=${EMPTY.has(held?.space_kind) ? ["space_kind", "label"] : FIRST} line=${line} />
      ${held?.load === "feeder" && html`<${Feeds} app=${app} visit=${visit} space=${rec} panel=${params.enclosure} />`}
      ${held && !EMPTY.has(held.space_kind) && html`<details><summary>More about it</summary><${Form} key=${`more ${number}`} ...${given} fields=${MORE} /></details>`}
      ${held && html`<${ProposalLines} app=${app} visit=${visit} subject=${rec} stop=${panel.stop} />`}
    <//>`;
}

// The other enclosure that a feeder goes to; it is written there.
function Feeds({ app, visit, space, panel }) {
  const others = visit.of("enclosure").filter(([id]) => id !== panel);
  if (!others.length) return null;
  const fed = others.find(([, one]) => one.fed_by_space === space)?.[0] ?? null;
  const pick = (id) => app.saving(() => (id === null ? visit.set(fed, { fed_from: null, fed_by_space: null })
    : visit.set(id, { fed_from: panel, fed_by_space: space })));
  return html`<${Choice} legend="It feeds" value=${fed} options=${others.map(([id, one]) => [id, one.name ?? "a panel without a name"])} onPick=${pick} />`;
}
