// Remarks of the wording checks beside words while they are typed; nothing is ever changed.
import { all, on, one } from "../lib/dom.js";
import { parsed } from "../lib/http.js";

const CALM = 500; // Remarks follow the typing, they do not race it.
const waiting = new WeakMap();

async function ask(form) {
  const body = new FormData(form);
  const asked = waiting.get(form)?.asked;
  try {
    const response = await fetch(form.dataset.liveRemarks, {
      method: "POST",
      body,
      credentials: "same-origin",
      headers: { "X-Requested-With": "fetch" },
    });
    // A later key has asked again: its answer counts.
    if (!response.ok || waiting.get(form)?.asked !== asked) return;
    show(form, parsed(await response.text()));
  } catch {
    // No signal, no remarks; they stand on the page after saving.
  }
}

function show(form, page) {
  for (const place of all("[data-remarks-at]", form)) {
    const found = one(`[data-remarks-for="${place.dataset.remarksAt}"]`, page);
    const now = found ? found.innerHTML.trim() : "";
    if (place.dataset.shown === now) continue;
    place.dataset.shown = now;
    place.replaceChildren(...(found ? found.childNodes : []));
  }
}

function later(form) {
  const before = waiting.get(form);
  clearTimeout(before?.timer);
  const asked = (before?.asked ?? 0) + 1;
  waiting.set(form, { asked, timer: setTimeout(() => ask(form), CALM) });
}

export function startLiveRemarks() {
  on("input", "form[data-live-remarks]", (_event, form) => later(form));
}
