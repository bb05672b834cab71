// One line that never leaves: what is saved on this phone, what is on the server.
import { html } from "../core/ui.js";
import { count } from "../core/words.js";

const WHY = {
  "no signal": "no signal",
  "no good answer": "no good answer yet",
  out: "sign in to send",
  "signed out": "sign in to send",
  "not allowed": "the server refuses; ask the office",
  "too old": "update before sending",
  "other person": "somebody else is signed in",
  "went wrong": "will try again",
  unknown: "not asked yet",
};

export function Strip({ app, visit }) {
  const { is, why } = app.syncer.state.value;
  const photos = app.syncer.photosLeft.value;
  const where = visit ? `/v/${visit.id}/sync` : "/sync";
  return html`
    <a class="strip" href=${app.href(where)} data-state=${is}>
      <span class="strip__kept">${visit ? kept(visit) : "What is on this phone"}</span>
      <span class="strip__state">${is === "sending" ? "sending" : WHY[why] ?? (why || since(app))}
        ${photos > 0 && html`, ${count(photos, "photo")} left`}</span>
    </a>`;
}

function kept(visit) {
  visit.version.value;
  const { saved, onServer } = visit.outbox.counts();
  if (!saved) return "Nothing entered on this phone yet";
  const seal = visit.seal?.whole && saved === onServer;
  return seal ? "All on the server" : `On this phone ${saved}, on the server ${onServer}`;
}

// How long ago the last answer came, so that "sent" is never taken for "sent just now".
function since(app) {
  const last = app.syncer.lastSent.value;
  if (!last) return "";
  const minutes = Math.floor((app.tick.value - last) / 60000);
  return minutes < 1 ? "just now" : `not sent for ${minutes} min`;
}
