// A sheet over the lower part of the screen; Escape or its own key closes it.
import { html, useEffect, useRef } from "../core/ui.js";

export function Sheet({ title, onClose, children }) {
  const box = useRef(null);
  useEffect(() => {
    const dialog = box.current;
    dialog.showModal();
    return () => dialog.close();
  }, []);
  return html`
    <dialog class="sheet" ref=${box} aria-label=${title} onCancel=${(event) => { event.preventDefault(); onClose(); }}>
      <div class="sheet__head"><h2 class="sheet__title">${title}</h2>
        <button type="button" class="key key--small" onClick=${onClose}>Close</button></div>
      <div class="sheet__body">${children}</div>
    </dialog>`;
}
