// A page in view says so every 20 s: that is how a review's time is measured, and how
// two people who read the same visit learn of each other.
import { one } from "../lib/dom.js";

const PAUSE = 20000;

async function beat(form) {
  if (document.hidden) return;
  let said;
  try {
    const response = await fetch(form.action, {
      method: "POST",
      body: new FormData(form),
      credentials: "same-origin",
      headers: { Accept: "application/json" },
    });
    if (!response.ok) return;
    said = (await response.json()).others;
  } catch {
    return; // No signal: the next one tries again.
  }
  const place = one("[data-beat-said]", form);
  form.hidden = !said;
  if (place.textContent !== said) place.textContent = said;
}

export function startBeat() {
  const form = one("form[data-beat]");
  if (!form) return;
  beat(form);
  setInterval(() => beat(form), PAUSE);
  document.addEventListener("visibilitychange", () => beat(form));
}
