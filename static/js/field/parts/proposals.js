// What a reading may mean: one quiet line, with what it rests on and three answers. Nothing
// pops up, and what was answered folds away.
import { html, useState } from "../core/ui.js";
import { decisionOn, fromServer, offered, quieted } from "../core/meaning.js";
import { namedId } from "../core/named_id.js";
import { first, formOf, wordOf } from "../core/words.js";
import { Choice, Key } from "./keys.js";
import { TextField } from "./text.js";

export function ProposalLines({ app, visit, stop = null, subject = null, title = "What it may mean" }) {
  visit.calm.value;
  fromServer.value;
  const all = offered(visit, { stop, subject });
  const open = all.filter((one) => !decisionOn(visit, one));
  const loud = open.filter((one) => !quieted(visit, one));
  const done = all.filter((one) => decisionOn(visit, one));
  if (!all.length) return null;
  return html`
    <section class="part" aria-label=${title}>
      ${loud.length > 0 && html`<h2 class="part__title">${title}</h2>`}
      ${loud.map((one) => html`<${Line} key=${one.key} app=${app} visit=${visit} one=${one} />`)}
      ${open.length > loud.length && html`<p class="small">${open.length - loud.length} more are like those set aside twice for the same reason.</p>`}
      ${done.length > 0 && html`<details><summary>${done.length} answered</summary>
        ${done.map((one) => html`<${Answered} key=${one.key} app=${app} visit=${visit} one=${one} />`)}</details>`}
    </section>`;
}

async function decide(app, visit, one, fields) {
  await app.saving(async () => {
    const rec = await namedId(visit.id, `decision:${one.key}`);
    const held = visit.rec(rec);
    const whole = { rule: one.rule, subject: one.subject, ...fields };
    await visit.setAll([[rec, held ? whole : { kind: "decision", ...whole }]]);
    const back = Object.fromEntries(Object.keys(fields).map((name) => [name, held?.[name] ?? null]));
    app.undo("Answered.", () => visit.set(rec, back));
  });
}

function Line({ app, visit, one }) {
  const [asking, setAsking] = useState(null);
  return html`
    <div class="meaning-line">
      <p class="meaning-line__what"><strong>${first(one.title ?? "")}</strong>${(one.places ?? []).length ? ` (${one.places.join(", ")})` : ""}</p>
      <p class="meaning-line__why">${first(one.why ?? "")} ${one.certainty ? `(${one.certainty})` : ""}${one.firm_only ? " For the firm only, until its licensed reader ticks the rule." : ""}</p>
      <${Facts} app=${app} visit=${visit} one=${one} />
      <div class="open-line__keys">
        <${Key} look="small" label="Use" name="use" onTap=${() => decide(app, visit, one, { choice: "use" })} />
        <${Key} look="small" label="Change" pressed=${asking === "change"} onTap=${() => setAsking(asking === "change" ? null : "change")} />
        <${Key} look="small" label="Not here" pressed=${asking === "not_here"} onTap=${() => setAsking(asking === "not_here" ? null : "not_here")} />
      </div>
      ${asking === "change" && html`<${Change} app=${app} visit=${visit} one=${one} />`}
      ${asking === "not_here" && html`<${NotHere} app=${app} visit=${visit} one=${one} />`}
    </div>`;
}

// The facts it rests on, each a tap away to be corrected.
function Facts({ app, visit, one }) {
  const facts = (one.facts ?? []).filter((fact) => visit.rec(fact.record)).slice(0, 5);
  if (!facts.length) return null;
  return html`<p class="small">Because: ${facts.map((fact, at) => html`${at ? ", " : ""}<a href=${app.href(`/v/${visit.id}/r/${fact.record}`)}>${fact.label || fact.field} ${wordOf(visit.book, fact.value)}${fact.unit ? ` ${fact.unit}` : ""}</a>`)}</p>`;
}

function Change({ app, visit, one }) {
  const [level, setLevel] = useState({ consequence: one.consequence, timing: one.timing });
  const options = (field) => formOf(visit.book, "decision", field).options.map((key) => [key, levelWord(visit, field, key)]);
  return html`
    <${Choice} legend="How much it matters" keep value=${level.consequence} options=${options("consequence")} onPick=${(consequence) => setLevel({ ...level, consequence })} />
    <${Choice} legend="How soon" keep value=${level.timing} options=${options("timing")} onPick=${(timing) => setLevel({ ...level, timing })} />
    <${Key} look="main" label="Use it so" onTap=${() => decide(app, visit, one, { choice: "change", ...level })} />`;
}

function NotHere({ app, visit, one }) {
  const [text, setText] = useState("");
  const reasons = formOf(visit.book, "decision", "reason").options.map((key) => [key, wordOf(visit.book, key)]);
  return html`
    <${TextField} label="In words, if it needs any" value=${text} max=${500} onSave=${(words) => setText(words ?? "")} />
    <${Choice} legend="Not here, because" value=${null} options=${reasons}
      onPick=${(reason) => decide(app, visit, one, { choice: "not_here", reason, reason_text: text || null, covers: one.covers ?? [one.key] })} />`;
}

const SAYS = { use: "used", change: "used, changed", not_here: "not here" };

function Answered({ app, visit, one }) {
  const [rec, record] = decisionOn(visit, one);
  const open = () => app.saving(() => visit.set(rec, { choice: null, reason: null, reason_text: null, consequence: null, timing: null, covers: null }));
  return html`<div class="meaning-line"><p>${first(one.title ?? "")}: <strong>${SAYS[record.choice]}</strong></p>
    <${Key} look="small" label="Open again" onTap=${open} /></div>`;
}

function levelWord(visit, field, key) {
  const { levels } = visit.book;
  return (field === "consequence" ? levels.consequences : levels.timings)[key]?.label ?? wordOf(visit.book, key);
}
