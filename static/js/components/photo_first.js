// Photo first, say later: the key opens the camera, and a chosen picture is sent at once.
import { on, one, say } from "../lib/dom.js";

export function startPhotoFirst() {
  const form = one("[data-photo-form]");
  const input = form && one('input[type="file"]', form);
  if (!input) return;
  on("click", "[data-photo-open]", (event) => {
    event.preventDefault();
    input.click();
  });
  input.addEventListener("change", () => {
    if (!input.files.length) return;
    say("Storing the picture");
    form.requestSubmit();
  });
}
