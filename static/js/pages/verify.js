// Computes a chosen file's digest in the browser; the file itself goes nowhere.
import { one, say } from "../lib/dom.js";

const place = one("[data-verify-file]");
const field = one('[name="sha256"]');

async function digestOf(file) {
  const bytes = await crypto.subtle.digest("SHA-256", await file.arrayBuffer());
  return [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

if (place && field && globalThis.crypto?.subtle) {
  place.hidden = false;
  one("input", place).addEventListener("change", async (event) => {
    const [file] = event.target.files;
    if (!file) return;
    field.value = await digestOf(file);
    say("The digest is written below.");
    field.form.requestSubmit();
  });
}
