// The shutter: one tap to the phone's camera; the gallery and the data plate beside it.
import { classes, html, useState } from "../core/ui.js";
import { ACCEPTED, awaitPicture, keepPictures, noneAwaited } from "../core/photos.js";

export function PhotoKeys({ app, visit, stop, about = null, plate = false, label = "Photo", look = "plain" }) {
  return html`<${Shutter} app=${app} visit=${visit} stop=${stop} about=${about} use=${plate ? "plate" : undefined} label=${label} look=${look} camera />`;
}

// Several pictures that are on the phone already.
export function GalleryKey({ app, visit, stop, about = null, use, label = "From the phone" }) {
  return html`<${Shutter} app=${app} visit=${visit} stop=${stop} about=${about} use=${use} label=${label} look="small" />`;
}

export function Shutter({ app, visit, stop, about, use, label, look, camera = false, onKept = () => {} }) {
  // A fresh input after each use: Chromium keeps what an old one held.
  const [turn, setTurn] = useState(0);
  const before = () => awaitPicture(app, { visit: visit.id, stop, about, place: app.path.peek() }).catch(() => {});
  const kept = async (event) => {
    const files = [...event.target.files];
    const made = await keepPictures(app, visit, files, { stop, about, use });
    setTurn(turn + 1);
    app.room.look();
    if (!made.length) return;
    const words = made.length === 1 ? "Picture kept." : `${made.length} pictures kept.`;
    app.undo(words, async () => { for (const one of made) await visit.remove(one); }, "Take back");
    onKept(made);
  };
  return html`
    <label class=${classes("key", `key--${look}`, "shutter")}>
      <span class="key__label">${label}</span>
      <input key=${turn} class="shutter__input" type="file" accept=${ACCEPTED} multiple=${!camera}
        capture=${camera ? "environment" : undefined} onClick=${before} onChange=${kept} onCancel=${() => noneAwaited(app)} />
    </label>`;
}
