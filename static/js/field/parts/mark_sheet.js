// The picture with its marks: tap to place, or draw with the finger where one likes; the
// nudge keys move what was placed last, so that no drawing is ever needed.
import { html, useEffect, useRef, useState } from "../core/ui.js";
import { SCALE, drawingOf, pointAt, pointsOf, thinned } from "../core/marks.js";

export function MarkSheet({ app, visit, photo, shape, colour, text, onMade }) {
  const [url, setUrl] = useState(null);
  const [size, setSize] = useState(null);
  const [points, setPoints] = useState([]);
  const drawing = useRef(null);
  useEffect(() => {
    let [now, made] = [true, null];
    app.thumbs.whole(visit, photo).then((found) => {
      made = found;
      if (now) setUrl(found);
    });
    return () => {
      now = false;
      if (made) URL.revokeObjectURL(made);
    };
  }, [photo]);
  useEffect(() => setPoints([]), [shape]);
  const ratio = size ? size.height / size.width : 0.75;
  const where = (event) => {
    const box = event.currentTarget.getBoundingClientRect();
    return pointAt((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
  };
  const add = (held) => {
    if (held.length < pointsOf(shape)) return setPoints(held);
    setPoints([]);
    return onMade(held);
  };
  const down = (event) => {
    if (!shape) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    drawing.current = [where(event)];
  };
  const move = (event) => {
    if (!drawing.current) return;
    drawing.current.push(where(event));
    if (shape === "freehand") setPoints([...drawing.current]);
  };
  const up = () => {
    const drawn = drawing.current;
    drawing.current = null;
    if (!drawn) return;
    const [first, last] = [drawn[0], drawn.at(-1)];
    const far = Math.hypot(last[0] - first[0], last[1] - first[1]) > 300;
    if (shape === "freehand" && far) { setPoints([]); onMade(thinned(drawn)); }
    else if (shape === "text") add([first]);
    else if (far) add([first, last]);
    else add([...points, first]); // a tap: the next tap is the other end
  };
  if (!url) return html`<p>The picture itself is not on this phone.</p>`;
  const marks = visit.of("mark", { photo }).map(([, mark]) => mark);
  return html`
    <div class="marks"><span class="marks__holder">
      <img src=${url} alt="The picture being marked" onLoad=${(event) => setSize({ width: event.target.naturalWidth, height: event.target.naturalHeight })} />
      <svg viewBox=${`0 0 ${SCALE} ${SCALE * ratio}`} preserveAspectRatio="none" aria-hidden="true"
        onPointerDown=${down} onPointerMove=${move} onPointerUp=${up}>
        ${marks.map((mark, at) => html`<${Shape} key=${at} mark=${mark} ratio=${ratio} />`)}
        ${points.length > 0 && (shape === "freehand" ? html`<${Shape} mark=${{ shape, points, colour }} ratio=${ratio} />`
          : points.map(([x, y]) => html`<circle class="marks__point" cx=${x} cy=${y * ratio} r="140" />`))}
      </svg></span>
    </div>`;
}

function Shape({ mark, ratio }) {
  const named = `marks__${mark.colour ?? "red"}`;
  if (mark.shape === "text") {
    const [x, y] = mark.points?.[0] ?? [0, 0];
    return html`<text class=${`marks__text ${named}`} x=${x} y=${y * ratio}>${mark.text ?? ""}</text>`;
  }
  const { path, ellipse, rect } = drawingOf(mark, ratio);
  if (path) return html`<path class=${`marks__shape ${named}`} d=${path} />`;
  if (ellipse) return html`<ellipse class=${`marks__shape ${named}`} ...${ellipse} />`;
  return rect ? html`<rect class=${mark.shape === "blur" ? "marks__blur" : `marks__shape ${named}`} ...${rect} />` : null;
}
