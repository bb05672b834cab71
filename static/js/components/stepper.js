// Minus and plus beside a number field. The field stays the truth and can be typed in.
import { all, say } from "../lib/dom.js";

const NUMBER = /^\d+$/;

function within(value, input) {
  const least = Number(input.min || 0);
  const most = Number(input.max || 999);
  return Math.min(most, Math.max(least, value));
}

export function step(input, by) {
  const now = NUMBER.test(input.value.trim()) ? Number(input.value) : 0;
  const next = within(now + by, input);
  if (String(next) === input.value) return;
  input.value = String(next);
  input.dispatchEvent(new Event("input", { bubbles: true }));
  input.dispatchEvent(new Event("change", { bubbles: true }));
}

export function startSteppers(root = document) {
  for (const box of all("[data-stepper]", root)) {
    const input = box.querySelector("input");
    for (const button of all("[data-step]", box)) {
      button.hidden = false;
      button.addEventListener("click", () => {
        step(input, Number(button.dataset.step));
        say(`${input.value}`);
      });
    }
    input.addEventListener("keydown", (event) => {
      const by = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (!by) return;
      event.preventDefault();
      step(input, by);
    });
  }
  startFollowers(root);
}

// "Correct follows tried": raising one count raises the counts that usually go with it,
// until the person touches them.
function startFollowers(root) {
  for (const input of all("[data-follows]", root)) {
    const leader = root.querySelector(`[name="${input.dataset.follows}"]`);
    if (!leader) continue;
    let own = input.value !== leader.value;
    let following = false;
    input.addEventListener("input", () => { if (!following) own = true; });
    leader.addEventListener("input", () => {
      if (own) return;
      following = true;
      input.value = leader.value;
      input.dispatchEvent(new Event("input", { bubbles: true }));
      following = false;
    });
  }
}
