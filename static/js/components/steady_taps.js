// A wet screen taps twice: taps within 300 ms of the page's appearance, and a second
// submit of the same form, are ignored.
import { all, on } from "../lib/dom.js";

const SETTLE = 300;

export function startSteadyTaps() {
  const shownAt = performance.now();
  document.addEventListener("click", (event) => {
    if (event.isTrusted && event.detail > 0 && performance.now() - shownAt < SETTLE) event.preventDefault();
  }, { capture: true });
  on("submit", "form[method=post]:not([data-undoable])", (event, form) => {
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
  });
  // Coming back with the browser's arrow shows the page as it was left, ready again.
  addEventListener("pageshow", () => {
    for (const form of all("form[data-sent]")) delete form.dataset.sent;
  });
}
