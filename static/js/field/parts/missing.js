// What is not on this phone, and what to do about it.
import { html } from "../core/ui.js";
import { Screen } from "./screen.js";

export function Missing({ app, what }) {
  const words = what === "visit"
    ? "This visit is not on this phone. With a signal, go to the day's list and fetch it; without one it cannot be opened here."
    : "There is no screen at this address.";
  return html`
    <${Screen} app=${app} title="Not here" back="/">
      <p>${words}</p>
      <p><a class="key key--main" href=${app.href("/")}>Go to the day</a></p>
    <//>`;
}
