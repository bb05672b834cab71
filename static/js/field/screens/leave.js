// Before you drive off: short, because each stop asked for its own. First what needs feet.
import { html } from "../core/ui.js";
import { leftOver } from "../core/leaving.js";
import { inTraining, inspectorOf } from "../core/recorders.js";
import { clockOf, count } from "../core/words.js";
import { stateOf } from "../core/runners.js";
import { Key, Row } from "../parts/keys.js";
import { OpenLines } from "../parts/open_lines.js";
import { Thumbs } from "../parts/photo_strip.js";
import { Screen } from "../parts/screen.js";

export default function Leave({ app, visit }) {
  visit.version.value;
  const at = `/v/${visit.id}`;
  const left = leftOver(visit);
  const leftAt = visit.about().left_at;
  const drive = () => app.saving(async () => {
    if (left.runners.length) return app.fail(`${count(left.runners.length, "thing")} still runs. Switch it off first, or say that it is off.`);
    await visit.set(visit.id, { left_at: app.instant() });
    app.undo("Left the house. What you enter now is marked as entered after leaving.", () => visit.set(visit.id, { left_at: null }));
    return app.go(at);
  });
  const sections = [
    ["runners", "Still running", left.runners.map(([id, one]) => html`<${Row} key=${id} look="warn" href=${app.href(`${at}/runners`)} title=${one.what ?? "Something"} note=${stateOf(one, app.tick.value).words} />`)],
    ["feet", "Needs your feet", [
      ...left.notClosed.map(([id, stop]) => html`<${Row} key=${id} href=${app.href(`${at}/s/${id}/leave`)} title=${`${stop.name} is not closed`} />`),
      left.feet.length > 0 && html`<${OpenLines} key="lines" app=${app} visit=${visit} feet=${true} whole />`].filter(Boolean)],
    ["training", "Recorded in training, not stood for yet", left.notStoodFor.map(([id, stop, names]) => html`<${Row} key=${id} href=${app.href(`${at}/s/${id}/leave`)} title=${stop.name} note=${names.join(", ")} />`)],
    ["back", "Not put back", left.notPutBack.map(([id, one]) => html`<${Row} key=${id} href=${app.href(`${at}/r/${id}`)} title=${one.what ?? "Something"} note=${`found ${one.found ?? "otherwise"}, now ${one.left ?? "not said"}`} />`)],
    ["apart", "Two values", left.apart.length ? [html`<${Row} href=${app.href(`${at}/conflicts`)} title=${`${left.apart.length} to choose`} note="Two phones wrote differently" />`] : []],
    ["desk", "Can be done at the desk", left.desk.length ? [html`<${OpenLines} key="lines" app=${app} visit=${visit} feet=${false} whole />`] : []],
  ].filter(([, , rows]) => rows.length);
  return html`
    <${Screen} app=${app} visit=${visit} title="Before you drive off" over=${leftAt ? `Left at ${clockOf(leftAt)}` : ""} back=${at}
      actions=${html`<${Key} label="Talk-through" href=${app.href(`${at}/talk`)} />
        ${!inTraining(visit) && html`<${Key} label=${leftAt ? "Left" : "I drive off now"} look="main" name="drive-off" disabled=${Boolean(leftAt)} onTap=${drive} />`}`}>
      ${inTraining(visit) && html`<p>${inspectorOf(visit)} says when you leave, and signs.</p>`}
      ${!sections.length && html`<p>Nothing is left to do here.</p>`}
      ${sections.map(([key, title, rows]) => html`<section class="part" key=${key} aria-labelledby=${`left-${key}`}><h2 class="part__title" id=${`left-${key}`}>${title}</h2><div class="rows">${rows}</div></section>`)}
      ${left.loose.length > 0 && html`<section class="part"><h2 class="part__title">${count(left.loose.length, "picture")} tied to nothing</h2><${Thumbs} app=${app} visit=${visit} photos=${left.loose} /></section>`}
    <//>`;
}
