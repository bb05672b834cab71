// What is on this phone and what is on the server, always as two numbers; and the seal.
import { html, useEffect, useState } from "../core/ui.js";
import { clockOf, count } from "../core/words.js";
import { Key, Row } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

const SAYS = {
  "no signal": "No signal. Everything stays here and goes by itself once there is one.",
  out: "Signed out. Sign in to send; entering goes on without it.",
  "signed out": "Signed out. Sign in to send; entering goes on without it.",
  "not allowed": "The server refuses this phone. Save a copy and give it to the office; nothing here is lost.",
  "too old": "This version of the app is too old to send. Update it; nothing here is lost.",
  "other person": "Somebody else is signed in. What is yours waits until you sign in again.",
  "no good answer": "The server does not answer as it should. It is tried again by itself.",
};

export default function SyncState({ app, visit }) {
  const [rows, setRows] = useState([]);
  const state = app.syncer.state.value;
  visit?.version.value;
  useEffect(() => {
    let now = true;
    const gather = async () => {
      const found = visit ? [visit] : await app.everyVisit();
      const made = await Promise.all(found.map(async (one) => ({ one, photos: await photosOf(app, one) })));
      if (now) setRows(made);
    };
    gather();
    return () => (now = false);
  }, [visit, state, app.syncer.photosLeft.value, visit?.version.value]);
  useEffect(() => keepAwake(), []);
  const send = () => app.syncer.now();
  return html`
    <${Screen} app=${app} visit=${visit} title="Sent and not yet sent" back=${visit ? `/v/${visit.id}` : "/"}
      actions=${html`
        ${["out", "signed out"].includes(state.why) && html`<${Key} label="Sign in" onTap=${() => (app.signingIn.value = true)} />`}
        <${Key} label=${state.is === "sending" ? "Sending" : "Send now"} look="main" onTap=${send} />`}>
      <p role="status">${SAYS[state.why] ?? (state.is === "sending" ? "Sending. Keep this open until the bar is full." : "Nothing is being sent.")}
        ${state.said ? ` ${state.said}` : ""}</p>
      ${rows.map(({ one, photos }) => html`<${OneVisit} key=${one.id} app=${app} visit=${one} photos=${photos} named=${!visit} />`)}
      ${!rows.length && html`<p>No visits on this phone.</p>`}
      ${app.syncer.alarms.map((alarm) => html`<p class="caution" key=${String(alarm.at)}>${alarmWords(alarm)}</p>`)}
    <//>`;
}

function OneVisit({ app, visit, photos, named }) {
  const { saved, onServer } = visit.outbox.counts();
  const others = visit.outbox.othersWaiting();
  const seal = visit.seal?.whole && saved === onServer && photos.on === photos.all;
  const apart = [...visit.outbox.mirror.values()].filter((one) => one.status === "quarantined").length;
  return html`
    <section class="part">
      ${named && html`<h2 class="part__title">${visit.pack.visit.property.street}</h2>`}
      <dl class="facts facts--pairs">
        <dt>Entries on this phone</dt><dd>${saved}</dd><dt>of these on the server</dt><dd>${onServer}</dd>
        <dt>Pictures on this phone</dt><dd>${photos.all}</dd><dt>of these on the server</dt><dd>${photos.on}</dd>
        ${photos.originals > 0 && html`<dt>Originals still to be sent</dt><dd>${photos.originals}</dd>`}
      </dl>
      <progress max=${saved + photos.all || 1} value=${onServer + photos.on} aria-label="How much of it is on the server"></progress>
      ${seal ? html`<p class="seal"><strong>${count(saved, "entry", "entries")}, ${count(photos.all, "picture")}: all on the server.</strong> Compared with the server's own list at ${clockOf(visit.seal.at)}.</p>`
        : html`<p>Not proven whole yet: that needs one undisturbed comparison with the server's list.</p>`}
      ${others > 0 && html`<p class="caution">${count(others, "entry", "entries")} of another person wait on this phone. They go when that person signs in here.</p>`}
      <div class="rows">
        <${Row} href=${app.href(`/v/${visit.id}/kept`)} title="Kept apart" note="What the server could not take as it is" mark=${apart ? String(apart) : "none"} />
        <${Row} href=${app.href(`/v/${visit.id}/conflicts`)} title="Two values" note="Where two phones wrote differently" mark=${String(visit.conflicts().length || "none")} />
        <${Row} href=${app.href(`/v/${visit.id}/copy`)} title="Save a copy" note="An encrypted file, or a second phone" />
      </div>
    </section>`;
}

async function photosOf(app, visit) {
  const rows = await app.store.tx(false, (tx) => tx.all("photos", [visit.id]));
  const [shown, beside] = [rows.filter((row) => !row.of), rows.filter((row) => row.of && row.state !== "held")];
  const on = (those) => those.filter((row) => row.state === "stored").length;
  return { all: shown.length, on: on(shown), originals: beside.length - on(beside) };
}

function alarmWords({ what, apart }) {
  if (what === "means") return `The server reads this visit's records differently on ${count(apart, "point")}: its rules may be newer than those on this phone. Fetch the day again.`;
  if (what === "restored") return "The server was put back to an earlier copy. This phone offers everything again.";
  if (what === "fork") return "This phone's numbering met an older copy of itself. It counts anew; nothing is lost.";
  if (what === "reused") return "The server had another entry under one of our ids. Both are kept; tell the office.";
  return "The server lacked what it had confirmed. It was offered again.";
}

// Uploads go on only while the page is seen; where the phone allows, it stays lit.
function keepAwake() {
  let lock = null;
  navigator.wakeLock?.request("screen").then((held) => (lock = held)).catch(() => {});
  return () => lock?.release().catch(() => {});
}
