/** Narrow the findings of a report by trade, time and place; the count stays in view. */

import "./photo_viewer.js";

const form = document.querySelector("[data-narrow]");

function wanted() {
  return [...new FormData(form)].filter(([, value]) => value !== "");
}

function narrow() {
  const filters = wanted();
  const findings = [...document.querySelectorAll("[data-finding]")];
  let shown = 0;
  for (const finding of findings) {
    finding.hidden = !filters.every(([key, value]) => finding.dataset[key] === value);
    shown += finding.hidden ? 0 : 1;
  }
  for (const room of document.querySelectorAll("[data-room]")) {
    const left = room.querySelector("[data-finding]:not([hidden])");
    room.hidden = filters.length > 0 && left === null;
  }
  form.querySelector("[data-count]").textContent =
    `Showing ${shown} of ${findings.length} findings`;
  form.classList.toggle("active", filters.length > 0);
}

/** A link to a finding that is out of sight brings everything back first. */
function reveal() {
  const target = document.getElementById(location.hash.slice(1));
  if (target?.closest("[hidden]")) {
    form.reset();
    narrow();
    target.scrollIntoView();
  }
}

if (form) {
  // Placed beside the findings it narrows; without this module it stays out of sight.
  document.querySelector("#places")?.after(form);
  form.hidden = false;
  form.addEventListener("change", narrow);
  form.addEventListener("reset", () => setTimeout(narrow));
  window.addEventListener("hashchange", reveal);
}
