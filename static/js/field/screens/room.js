// Room on this phone: how much is left, and what makes more of it without losing anything.
import { html, useEffect, useState } from "../core/ui.js";
import { pending } from "../core/updates.js";
import { count } from "../core/words.js";
import { Key, Row } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

const inMb = (bytes) => `${Math.round(bytes / 1024 ** 2)} MB`;

export default function RoomLeft({ app }) {
  const { free, photos, is } = app.room.state.value;
  const held = app.room.unsaved.value.length;
  const [found, setFound] = useState({ waits: 0, rows: [] });
  const gather = async () => {
    const rows = [];
    for (const visit of await app.everyVisit()) rows.push({ visit, ...(await app.room.spare(visit)) });
    setFound({ waits: await pending(app), rows: rows.filter((row) => row.bytes > 0) });
  };
  useEffect(() => { app.room.look(); gather(); }, [app.syncer.state.value, is]);
  const letGo = (visit) => app.saving(async () => {
    const gone = await app.room.letGo(visit);
    await gather();
    app.say(`${count(gone, "picture")} let go of. The server has them; their small copies stay.`);
  });
  return html`
    <${Screen} app=${app} title="Room on this phone" back="/"
      actions=${html`${held > 0 && html`<${Key} label="Save them now" hint=${count(held, "picture")} onTap=${() => app.room.saveHeld()} />`}
        <${Key} label=${app.syncer.state.value.is === "sending" ? "Sending" : "Send now"} look="main" onTap=${() => app.syncer.now()} />`}>
      <p role="status">${is === "full" ? "This phone is full. What was saved before is safe; new entries are not saved until there is room." : "What is saved on this phone is safe."}</p>
      ${free !== undefined && html`<dl class="facts facts--pairs"><dt>Free for this app</dt><dd>${inMb(free)}</dd>
        <dt>Enough for about</dt><dd>${count(photos, "picture")}</dd><dt>Not sent yet</dt><dd>${found.waits}</dd></dl>`}
      <section class="part"><h2 class="part__title">First: send</h2>
        <p>Sending makes nothing smaller by itself, but only what is on the server may leave this phone.</p></section>
      <section class="part"><h2 class="part__title">Then: let go of sent pictures</h2>
        ${found.rows.length ? html`<p>These were compared with the server's own list. Their small copies stay here.</p>
          <div class="rows">${found.rows.map(({ visit, rows, bytes }) => html`<${Row} key=${visit.id} title=${`Let go of ${count(rows.length, "picture")}`}
            note=${visit.pack.visit.property.street} mark=${inMb(bytes)} onTap=${() => letGo(visit)} />`)}</div>`
          : html`<p>None yet: pictures are offered here once they are sent and proven to be on the server.</p>`}</section>
      <section class="part"><h2 class="part__title">Or: make room elsewhere</h2>
        <p>Move videos and large downloads off the phone, or remove apps that you do not need.</p>
        <p class="caution">Do not clear this browser's data and do not remove this app: that would take what is not sent.</p></section>
    <//>`;
}
