// Single keys for what a page offers: marks with data-key, in the thing that is in hand.
// They can be switched off, wait while a field holds the cursor, and are listed on the page.
import { all, make, on, one, say, stored } from "../lib/dom.js";

const OFF = "kingpost-keys-off";
const STEP = { j: 1, k: -1 };
let inHand = null;

const typing = (target) => target.closest("input:not([type=radio], [type=checkbox], [type=hidden]), textarea, select, [contenteditable]");
const visible = (element) => element.getClientRects().length > 0;

// Of several marks for one key, the one in the thing in hand counts, else the first.
function marked(key) {
  const found = all(`[data-key="${CSS.escape(key)}"]`).filter((mark) => visible(mark) && !mark.disabled);
  if (!all("[data-step]").some((step) => found.some((mark) => step !== mark && step.contains(mark)))) return found[0];
  const here = inHand ?? all("[data-step]").find(visible);
  return found.find((mark) => here?.contains(mark)) ?? found.find((mark) => !mark.closest("[data-step]"));
}

function press(mark) {
  if (mark.matches("summary")) {
    mark.click();
    const field = mark.parentElement.open && all("input:not([type=hidden]), textarea, select", mark.parentElement).find(visible);
    (field || mark).focus();
  } else if (mark.matches("a, button")) {
    mark.focus();
    mark.click();
  } else {
    (all("button, a", mark).find((button) => button.getAttribute("aria-pressed") !== "true") ?? mark).click();
    mark.focus();
  }
}

function step(by) {
  const steps = all("[data-step]").filter(visible);
  if (!steps.length) return false;
  const at = steps.indexOf(inHand);
  inHand = steps[Math.min(Math.max(at + by, 0), steps.length - 1)] ?? steps[0];
  inHand.focus();
  inHand.scrollIntoView({ block: "start" });
  return true;
}

function handle(event) {
  if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
    const form = event.target.closest("form");
    if (form) form.requestSubmit();
    return;
  }
  if (event.key === "Escape" && typing(event.target)) return event.target.blur();
  if (event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
  if (stored(OFF) && event.key !== "?") return;
  const mark = marked(event.key);
  if (mark) press(mark);
  else if (!(event.key in STEP && step(STEP[event.key]))) return;
  event.preventDefault();
}

function listed(help) {
  const rows = new Map();
  for (const mark of all("[data-key]")) rows.set(mark.dataset.key, mark.dataset.keySays);
  if (one("[data-step]") && !rows.has("j")) rows.set("j", "On to the next").set("k", "Back to the one before");
  rows.set("Ctrl Enter", "Send the form that holds the cursor").set("Esc", "Leave the field, so that letters are keys again");
  const list = make("dl", { class: "keys-help__list" });
  for (const [key, says] of rows) list.append(make("div", {}, make("dt", {}, make("kbd", {}, key)), make("dd", {}, says)));
  const switched = make("button", { type: "button", class: "button", "aria-pressed": String(!stored(OFF)) }, "Single keys work here");
  switched.addEventListener("click", () => {
    const off = !stored(OFF);
    stored(OFF, off ? "yes" : null);
    switched.setAttribute("aria-pressed", String(!off));
    say(off ? "Single keys are off." : "Single keys work.");
  });
  help.append(list, switched);
}

export function startKeys() {
  const help = one("[data-keys]");
  if (!help) return;
  listed(help);
  const named = location.hash ? document.getElementById(decodeURIComponent(location.hash.slice(1))) : null;
  inHand = named?.closest("[data-step]") ?? null;
  document.addEventListener("keydown", handle);
  // What has the focus, or was touched last, is in hand.
  document.addEventListener("focusin", (event) => { inHand = event.target.closest("[data-step]") ?? inHand; });
  on("pointerdown", "[data-step]", (_event, place) => { inHand = place; });
}
