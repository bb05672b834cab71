// Pictures from a camera whose clock is off: by so many seconds all the same, each falls to
// the stop that was open at its corrected time.

// Seconds to add to the camera's times, from one picture whose true moment is known.
export const offsetFrom = (cameraTime, trueTime) => Math.round((trueTime - cameraTime) / 1000);

export const corrected = (cameraTime, offset) => new Date(cameraTime.getTime() + offset * 1000);

// The id of the stop open at a moment: opened, and not closed before; the last opened wins.
// A minute's grace after closing, for the picture taken on the way out.
export function stopAt(stops, moment, grace = 60000) {
  let best = null;
  for (const [id, stop] of stops) {
    const opened = Date.parse(stop.opened_at ?? "");
    const closed = Date.parse(stop.closed_at ?? "");
    if (Number.isNaN(opened) || moment < opened) continue;
    if (!Number.isNaN(closed) && moment > closed + grace) continue;
    if (!best || opened > best.opened) best = { id, opened };
  }
  return best?.id ?? null;
}
