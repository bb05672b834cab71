// The phone is running out of room, or is full: said on every screen, with what to do.
import { html } from "../core/ui.js";
import { count } from "../core/words.js";

export function RoomNotice({ app }) {
  const { is, photos } = app.room.state.value;
  const held = app.room.unsaved.value.length;
  if (is === "enough" && !held) return null;
  if (is === "little" && !held && app.room.quiet) return null;
  const full = is === "full" || held > 0;
  return html`
    <div class=${full ? "notice notice--room notice--full" : "notice notice--room"} role=${full ? "alert" : "status"}>
      <p>${full ? fullWords(is, held) : `Little room on this phone: about ${count(photos, "more picture")}. Send now, then free some space. Nothing is lost.`}</p>
      <p class="notice__keys">
        ${held > 0 ? html`<button type="button" class="key key--small" onClick=${() => app.room.saveHeld()}>Save now</button>`
          : html`<button type="button" class="key key--small" onClick=${() => app.syncer.now()}>Send now</button>`}
        <a class="key key--small" href=${app.href("/room")}>What to do</a>
        ${!full && html`<button type="button" class="key key--small" onClick=${() => app.room.putOff()}>Later</button>`}
      </p>
    </div>`;
}

function fullWords(is, held) {
  const waits = held ? `${count(held, "picture")} could not be saved yet: keep this app open. ` : "";
  if (is === "enough") return `${waits}There is room again.`;
  if (is === "little") return `${waits}Make room, then save.`;
  return `This phone is full. ${waits}What was saved before is safe; make room, then go on.`;
}
