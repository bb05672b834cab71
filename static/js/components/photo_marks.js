// Marks on a picture, on and off in place; without a script the link shows the bare one.
import { all, on, one, say } from "../lib/dom.js";

export function startPhotoMarks() {
  for (const link of all("[data-marks]")) {
    link.setAttribute("role", "button");
    link.setAttribute("aria-pressed", "false");
  }
  on("click", "[data-marks]", (event, link) => {
    const image = one("[data-unmarked]", link.closest("figure"));
    if (!image || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const shown = image.getAttribute("src");
    image.setAttribute("src", image.dataset.unmarked);
    image.dataset.unmarked = shown;
    const off = link.getAttribute("aria-pressed") !== "true";
    link.setAttribute("aria-pressed", String(off));
    say(off ? "Without marks" : "With marks");
  });
  on("keydown", "[data-marks]", (event, link) => {
    if (event.key !== " ") return;
    event.preventDefault();
    link.click();
  });
}
