// What a person must know whatever the screen: signed out, somebody else, an update, a tab
// that stands in the way. Lines, never pop-ups; each says what to do.
import { html } from "../core/ui.js";
import { RoomNotice } from "./room_notice.js";
import { takeNewer } from "../core/updates.js";

export function Notices({ app }) {
  const state = app.session.state.value;
  const who = app.session.who.value;
  const other = app.session.other.value;
  return html`
    <${RoomNotice} app=${app} />
    <div class="notices">
      ${state === "out" && html`<p class="notice"><span>${who ? "Signed out: what you enter stays on this phone and waits." : "Sign in to fetch your visits."}</span>
        <button type="button" class="key key--small" onClick=${() => (app.signingIn.value = true)}>Sign in</button></p>`}
      ${other && html`<p class="notice"><span>${other.name} is signed in here; this phone shows ${who?.name}'s work. Nothing of ${who?.name}'s is sent until they sign in again.</span>
        <button type="button" class="key key--small" onClick=${() => app.change(other)}>Show ${other.name}'s visits</button></p>`}
      ${app.blocked.value && html`<p class="notice"><span>Another tab of this app stands in the way. Close it.</span></p>`}
      ${app.newer.value && html`<p class="notice"><span>A newer version is ready. It waits until everything is sent.</span>
        <button type="button" class="key key--small" onClick=${() => takeNewer(app)}>Update</button></p>`}
    </div>`;
}
