// Leaving a stop: its open lines, and one key that says all else here was looked at.
import { html, useState } from "../core/ui.js";
import { closesAt, closingWords, dutyOf } from "../core/ledger.js";
import { asksReason, close, minutesHere, nextStop } from "../core/leaving.js";
import { inTraining, inspectorOf } from "../core/recorders.js";
import { clockOf, count } from "../core/words.js";
import { Key, Row } from "../parts/keys.js";
import { MethodKeys, isLesser, mustSay, plainMethod } from "../parts/method.js";
import { OpenLine, OpenLines } from "../parts/open_lines.js";
import { Screen } from "../parts/screen.js";
import { StoodFor } from "../parts/stood_for.js";
import { TextField } from "../parts/text.js";

export default function LeaveStop({ app, visit, params }) {
  visit.version.value;
  const stop = visit.rec(params.stop);
  const at = `/v/${visit.id}/s/${params.stop}`;
  const [struck, setStruck] = useState(new Set(stop?.closed_struck ?? []));
  const [absent, setAbsent] = useState(new Set());
  const [reason, setReason] = useState("");
  if (!stop) return html`<${Screen} app=${app} visit=${visit} title="Not here" back=${`/v/${visit.id}`}><p>This stop was taken off the route.</p><//>`;
  const closes = closesAt(visit, params.stop);
  // What is struck out stays on the screen while it is answered otherwise.
  const shown = [...closes, ...[...struck].filter((id) => !closes.some((duty) => duty.id === id)).map((id) => dutyOf(visit, id)).filter(Boolean)];
  const notYet = mustSay(visit, stop) && !stop.method;
  const noReason = isLesser(stop) && stop.method === "not_done" && !stop.method_reason;
  const minutes = minutesHere(stop, app.tick.value);
  const turned = (held, id) => {
    const next = new Set(held);
    if (!next.delete(id)) next.add(id);
    return next;
  };
  const trains = inTraining(visit);
  const onward = () => {
    const next = nextStop(visit, params.stop);
    app.go(next ? `/v/${visit.id}/s/${next[0]}` : `/v/${visit.id}`, { replace: true });
  };
  const leave = () => app.saving(async () => {
    if (notYet) return app.fail("Say first how this was looked at, or that you did not go.");
    if (noReason) return app.fail("Say why you did not go; nobody questions it.");
    const before = { closed_at: stop.closed_at ?? null, closed_struck: stop.closed_struck ?? null, closed_minutes: stop.closed_minutes ?? null };
    await close(visit, params.stop, { struck, absent, reason, now: app.now(), more: plainMethod(stop) });
    onward();
    return app.undo(`${stop.name} closed.`, () => visit.set(params.stop, before));
  });
  return html`
    <${Screen} app=${app} visit=${visit} title=${`Leaving: ${stop.name}`} over=${stop.closed_at ? `closed ${clockOf(stop.closed_at)}` : minutes === null ? "" : `${count(minutes, "minute")} here`} back=${at}
      actions=${html`
        <${Key} label="Could not look" hint="because" href=${app.href(`${at}/limit`)} />
        ${trains ? html`<${Key} label="Go on" hint=${`${inspectorOf(visit)} closes it`} look="main" name="onward" onTap=${onward} />`
          : html`<${Key} label="Looked at everything here" hint="nothing else noted" look="main" name="close" onTap=${leave} />`}`}>
      <${StoodFor} app=${app} visit=${visit} stop=${params.stop} />
      ${notYet && html`<${MethodKeys} app=${app} visit=${visit} stop=${params.stop} />`}
      <section class="part" aria-labelledby="open"><h2 class="part__title" id="open">Open at this stop</h2>
        <${OpenLines} app=${app} visit=${visit} stop=${params.stop} leave=${new Set(closes.map((duty) => duty.id))} /></section>
      ${!trains && shown.length > 0 && html`<section class="part" aria-labelledby="closes"><h2 class="part__title" id="closes">This closes together</h2>
        <p>Strike out what you did not look at; it stays open then, or is answered otherwise right there. Say of a thing that it is not there, where there is none.</p>
        <div class="rows">${shown.map((duty) => html`<div class="closing" key=${duty.id} data-closes=${duty.id}>
          <${Row} title=${closingWords(duty)} look=${struck.has(duty.id) ? "struck" : ""} mark=${absent.has(duty.id) ? "not there" : struck.has(duty.id) ? "struck out" : ""}
            onTap=${() => setStruck(turned(struck, duty.id))} />
          ${duty.trigger === "if_present" && html`<${Key} look="small" label="Not there" name=${`absent-${duty.id}`} pressed=${absent.has(duty.id)}
            onTap=${() => setAbsent(turned(absent, duty.id))} />`}
          ${struck.has(duty.id) && html`<div class="closing__otherwise"><${OpenLine} app=${app} visit=${visit} line=${{ duty: duty.id, stop: "", place: "", hint: "Otherwise:" }} named=${false} /></div>`}</div>`)}</div></section>`}
      ${!trains && asksReason(stop, app.tick.value) && html`<${TextField} label="Here for less than a minute: why that was enough" value=${reason} max=${500} onSave=${(text) => setReason(text ?? "")} />`}
      ${stop.closed_at && html`<p>It was closed before; closing again takes the new time.</p>`}
    <//>`;
}
