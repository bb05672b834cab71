// A photo beside the words: the link brings it nearer in place, and back again.
import { make, on, one, say } from "../lib/dom.js";

export function startPhotoZoom() {
  on("click", "[data-photo-zoom] a", (event, link) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const frame = link.closest("[data-photo-zoom]");
    const near = frame.classList.toggle("plate__frame--near");
    say(near ? "Nearer; scroll to look around" : "Whole picture");
    if (!near) return;
    const box = link.getBoundingClientRect();
    frame.scrollLeft = frame.scrollWidth * ((event.clientX - box.left) / box.width) - frame.clientWidth / 2;
    frame.scrollTop = frame.scrollHeight * ((event.clientY - box.top) / box.height) - frame.clientHeight / 2;
  });
  for (const frame of document.querySelectorAll("[data-photo-zoom]")) {
    const link = one("a", frame);
    link.after(make("span", { class: "unseen" }, "Activate the picture to bring it nearer."));
  }
}
