// Looks again at a region that is still being worked on; never faster than 15 s, never hidden.
import { all, one, say } from "../lib/dom.js";
import { parsed } from "../lib/http.js";

const LEAST = 15;

async function look(region) {
  let fresh;
  try {
    const response = await fetch(location.href, { credentials: "same-origin" });
    if (!response.ok) return region;
    fresh = one(`#${region.id}`, parsed(await response.text()));
  } catch {
    return region; // No signal: the next round tries again.
  }
  if (!fresh) return region;
  if (fresh.textContent.trim() !== region.textContent.trim()) {
    region.replaceWith(fresh);
    say(one("[aria-current]", fresh)?.textContent.trim().replace(/\s+/g, " ") ?? "Done.");
    // What stands elsewhere on the page changes with the end of the work.
    if (!fresh.dataset.refresh) location.reload();
    return fresh;
  }
  return region;
}

export function startRefresh() {
  for (const start of all("[data-refresh]")) {
    let region = start;
    const pause = Math.max(LEAST, Number(start.dataset.refresh)) * 1000;
    const round = async () => {
      if (!document.hidden) region = await look(region);
      if (region.dataset.refresh) setTimeout(round, pause);
    };
    setTimeout(round, pause);
  }
}
