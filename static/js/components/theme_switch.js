// Page colours and the main key's side: two switches kept per browser.
import { all, say, stored } from "../lib/dom.js";

const PAPER = { light: "#fbf9f4", dark: "#181714" };
const NAMES = { "": "as this device", light: "light", dark: "dark" };
const NEXT = { "": "light", light: "dark", dark: "" };

function showTheme(theme) {
  const root = document.documentElement;
  if (theme) root.dataset.theme = theme;
  else delete root.dataset.theme;
  for (const meta of all('meta[name="theme-color"]')) {
    const own = meta.media.includes("dark") ? "dark" : "light";
    meta.content = PAPER[theme || own];
  }
  for (const button of all("[data-theme-switch]")) {
    button.textContent = `Page colors: ${NAMES[theme]}`;
    button.hidden = false;
  }
}

function showHand(hand) {
  const root = document.documentElement;
  if (hand === "left") root.dataset.hand = "left";
  else delete root.dataset.hand;
  for (const button of all("[data-hand-switch]")) {
    button.textContent = `Main key: ${hand === "left" ? "left" : "right"} thumb`;
    button.hidden = !document.querySelector(".reach");
  }
}

export function startThemeSwitch() {
  let theme = stored("kingpost-theme") ?? "";
  let hand = stored("kingpost-hand") ?? "right";
  if (!(theme in NAMES)) theme = "";
  showTheme(theme);
  showHand(hand);
  for (const button of all("[data-theme-switch]")) {
    button.addEventListener("click", () => {
      theme = NEXT[theme];
      stored("kingpost-theme", theme || null);
      showTheme(theme);
      say(button.textContent);
    });
  }
  for (const button of all("[data-hand-switch]")) {
    button.addEventListener("click", () => {
      hand = hand === "left" ? "right" : "left";
      stored("kingpost-hand", hand === "left" ? "left" : null);
      showHand(hand);
      say(button.textContent);
    });
  }
}
