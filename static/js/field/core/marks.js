// Marks on a picture: vector shapes of their own, the picture never altered. Points are
// whole numbers 0..10000 of the upright picture, as fixtures/vocabulary/records.yaml has them.
export const SCALE = 10000;
export const SHAPES = ["arrow", "ring", "box", "freehand", "text", "blur"];
export const COLOURS = ["red", "yellow", "blue", "ink"];
const MOST_POINTS = 120;

// How many taps a shape wants where it is placed without drawing.
export const pointsOf = (shape) => (shape === "text" ? 1 : 2);

const within = (value) => Math.min(SCALE, Math.max(0, Math.round(value)));

export const pointAt = (x, y) => [within(x * SCALE), within(y * SCALE)];

// Moves every point by so much, the whole kept inside the picture.
export function moved(points, dx, dy) {
  const reach = (values, by) => Math.max(-Math.min(...values), Math.min(SCALE - Math.max(...values), by));
  const [x, y] = [reach(points.map((p) => p[0]), dx), reach(points.map((p) => p[1]), dy)];
  return points.map(([a, b]) => [within(a + x), within(b + y)]);
}

// A drawn line with no more points than are needed to see it.
export function thinned(points, most = MOST_POINTS) {
  if (points.length <= most) return points;
  const step = (points.length - 1) / (most - 1);
  return Array.from({ length: most }, (_, at) => points[Math.round(at * step)]);
}

// SVG paths of a shape in the picture's own proportions: the viewBox is SCALE by SCALE times
// height over width, so that a ring is round where it was drawn round.
export function drawingOf({ shape, points }, ratio) {
  const at = ([x, y]) => [x, y * ratio];
  const placed = (points ?? []).map(at);
  if (!placed.length) return {};
  const [from, to = from] = [placed[0], placed.at(-1)];
  if (shape === "freehand") return { path: placed.map(([x, y], n) => `${n ? "L" : "M"}${x} ${y}`).join("") };
  if (shape === "arrow") return { path: arrow(from, to) };
  const [left, top] = [Math.min(from[0], to[0]), Math.min(from[1], to[1])];
  const [width, height] = [Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1])];
  if (shape === "ring") return { ellipse: { cx: left + width / 2, cy: top + height / 2, rx: width / 2, ry: height / 2 } };
  return { rect: { x: left, y: top, width, height } };
}

function arrow([x1, y1], [x2, y2]) {
  const turn = Math.atan2(y2 - y1, x2 - x1);
  const head = Math.min(700, Math.hypot(x2 - x1, y2 - y1) / 2);
  const wing = (angle) => `${x2 - head * Math.cos(turn + angle)} ${y2 - head * Math.sin(turn + angle)}`;
  return `M${x1} ${y1}L${x2} ${y2}M${wing(0.5)}L${x2} ${y2}L${wing(-0.5)}`;
}
