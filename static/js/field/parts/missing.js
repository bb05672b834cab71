// What is not on this phone, and what to do about it.
import { html } from "../core/ui.js";
import { Screen } from "./screen.js";

const WORDS = {
  visit: "This visit is not on this phone. With a signal, go to the day's list and fetch it; without one it cannot be opened here.",
  screen: "There is no screen at this address.",
  code: "This screen did not load whole. Nothing that was entered is lost. With a signal, close the app and open it again.",
};

export function Missing({ app, what }) {
  const words = WORDS[what];
  return html`
    <${Screen} app=${app} title="Not here" back="/">
      <p>${words}</p>
      <p><a class="key key--main" href=${app.href("/")}>Go to the day</a></p>
    <//>`;
}
