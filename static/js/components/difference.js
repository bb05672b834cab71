// How changed words are shown: with changes, as they read now, as they read before.
import { all, make, say } from "../lib/dom.js";

const WAYS = [["both", "With changes"], ["now", "As it reads now"], ["before", "As it read before"]];

export function startDifferences() {
  for (const place of all("[data-difference-toggle]")) {
    const target = document.getElementById(place.dataset.differenceToggle);
    if (!target) continue;
    const buttons = WAYS.map(([way, label]) => {
      const button = make("button", { type: "button", class: "button", "aria-pressed": String(way === "both") }, label);
      button.addEventListener("click", () => {
        target.dataset.differenceShow = way;
        buttons.forEach((other) => other.setAttribute("aria-pressed", String(other === button)));
        say(label);
      });
      return button;
    });
    place.classList.add("buttons");
    place.append(...buttons);
  }
}
