// "No lamp lit" and a lit lamp cannot both be true: choosing one takes the other away.
import { startLiveMeaning } from "../components/live_meaning.js";
import { all, one } from "../lib/dom.js";

const box = one("[data-lamps]");

if (box) {
  const lamps = all('[name="lamps"]', box);
  const none = one('[name="lamps_none"]', box);
  box.addEventListener("change", (event) => {
    if (event.target === none && none.checked) lamps.forEach((lamp) => { lamp.checked = false; });
    else if (event.target.name === "lamps" && event.target.checked) none.checked = false;
  });
}

startLiveMeaning();
