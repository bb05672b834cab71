// Undo in place of "are you sure?": sends the form at once, then offers the way back.
import { make, on, one, say } from "../lib/dom.js";
import { NotSent, parsed, sendForm } from "../lib/http.js";

function swap(page, selector) {
  const here = one(selector);
  const fresh = one(selector, page);
  if (!here || !fresh) return false;
  here.replaceWith(fresh);
  document.dispatchEvent(new CustomEvent("kingpost:swapped", { detail: fresh }));
  return true;
}

function offer(place, words, back) {
  one(".undo")?.remove();
  const line = make("div", { class: "undo", role: "status" }, make("p", {}, words));
  if (back) line.append(back);
  place.before(line);
}

// <form data-undoable="#stop-proposals" data-done="Set aside." data-undo-action="…">
export function startUndo() {
  on("submit", "form[data-undoable]", async (event, form) => {
    event.preventDefault();
    const selector = form.dataset.undoable;
    const { done, undoAction } = form.dataset;
    const buttons = [...form.querySelectorAll("button")];
    buttons.forEach((button) => { button.disabled = true; });
    try {
      // Buttons are disabled against a double tap, so the pressed one is named here.
      const pressed = event.submitter;
      if (pressed) pressed.disabled = false;
      const { text } = await sendForm(form, pressed);
      const back = undoAction ? backForm(form, undoAction, selector) : null;
      if (!swap(parsed(text), selector)) {
        location.reload();
        return;
      }
      offer(one(selector), done ?? "Done.", back);
      say(done ?? "Done.");
    } catch (trouble) {
      buttons.forEach((button) => { button.disabled = false; });
      if (trouble instanceof NotSent && trouble.status) form.submit();
      else offer(form, trouble.message, null);
    }
  });
}

function backForm(form, address, selector) {
  const token = form.querySelector('[name="csrfmiddlewaretoken"]');
  const back = make("form", {
    method: "post", action: address, "data-undoable": selector, "data-done": "Taken back.",
  });
  if (token) back.append(token.cloneNode());
  // One answer may have been given to several: all of them are taken back.
  const own = form.querySelectorAll('[name="undoes"]');
  for (const undone of own.length ? own : form.querySelectorAll('[name="key"]')) {
    back.append(make("input", { type: "hidden", name: "key", value: undone.value }));
  }
  back.append(
    make("input", { type: "hidden", name: "choice", value: "open" }),
    make("button", { class: "button", type: "submit" }, "Take it back"),
  );
  return back;
}
