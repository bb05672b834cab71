// What a filler, an open or an unread space cannot have is folded away while it is chosen.
import { startLiveMeaning } from "../components/live_meaning.js";
import { all, one } from "../lib/dom.js";

const DEVICES = new Set(["breaker", "fuse", "pull_out"]);
const form = one("form[data-space-form]");

function show() {
  const kind = one('[name="space_kind"]:checked', form)?.value;
  for (const group of all("[data-when-device]", form)) {
    // Hidden fields are still sent: what was typed before a slip of the thumb stays.
    group.hidden = Boolean(kind) && !DEVICES.has(kind);
  }
}

if (form) {
  form.addEventListener("change", show);
  show();
}

startLiveMeaning();
