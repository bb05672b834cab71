// Phrases of the firm put into the text field with one tap, at the cursor.
import { all, on, one } from "../lib/dom.js";

export function startPhrases() {
  for (const row of all("[data-phrases]")) row.hidden = false;
  on("click", "[data-phrase]", (_event, button) => {
    const field = one("textarea", button.closest("form"));
    if (!field) return;
    const gap = field.value && !/\s$/.test(field.value.slice(0, field.selectionStart)) ? " " : "";
    field.setRangeText(gap + button.textContent.trim(), field.selectionStart, field.selectionEnd, "end");
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.focus();
  });
}
