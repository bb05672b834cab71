// Large keys under a number field marked data-number-pad; the keyboard still works.
import { all, make, say } from "../lib/dom.js";

const KEYS = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "back"];
const SPOKEN = { ".": "point", back: "take the last figure away" };

function press(input, key) {
  const value = input.value;
  if (key === "back") input.value = value.slice(0, -1);
  else if (key === "." && (value.includes(".") || input.inputMode === "numeric")) return;
  else input.value = value + key;
  input.dispatchEvent(new Event("input", { bubbles: true }));
  say(input.value || "empty");
}

export function startNumberPads(root = document) {
  for (const input of all("input[data-number-pad]", root)) {
    const pad = make("div", { class: "number-pad", role: "group", "aria-label": `Keys for: ${input.labels[0]?.textContent.trim() ?? "number"}`, hidden: true });
    for (const key of KEYS) {
      const button = make("button", { type: "button", "aria-label": SPOKEN[key] ?? key }, key === "back" ? "\u2190" : key);
      button.addEventListener("click", () => press(input, key));
      pad.append(button);
    }
    const opener = make("button", { type: "button", class: "button button--quiet", "aria-expanded": "false" }, "Large keys");
    opener.addEventListener("click", () => {
      pad.hidden = !pad.hidden;
      opener.setAttribute("aria-expanded", String(!pad.hidden));
    });
    (input.closest(".field__unit") ?? input).after(opener, pad);
  }
}
