// Enter on the phone's keyboard goes to the next box; in the last one it is the same as the
// key below: keep what was written, or done. Long texts keep their line breaks.

const BOXES = "input.text__box:not([type=search]), textarea.text__box, input.count__value";
const LONG = 4; // a box with this many lines or more is for paragraphs

export function nextBox(box) {
  const boxes = [...document.querySelectorAll(`#content :is(${BOXES})`)].filter((one) => one.offsetParent !== null);
  return boxes[boxes.indexOf(box) + 1] ?? null;
}

export function enterMoves(event) {
  const box = event.target;
  if (event.key !== "Enter" || event.isComposing || event.defaultPrevented || event.shiftKey) return;
  if (!box.matches?.(`#content :is(${BOXES})`) || box.rows >= LONG) return;
  event.preventDefault();
  const next = nextBox(box);
  if (next) {
    next.focus();
    return;
  }
  const key = (name) => document.querySelector(`.screen__actions [data-name="${name}"]`);
  if (box.value.trim() && key("keep")) return void key("keep").click();
  box.blur(); // what was typed is saved on leaving the box
  key("done")?.click();
}
