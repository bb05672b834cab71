// What takes longer to work out than a tap may wait: drawn anew only when the visit has been
// calm for a moment, and for the first time after the keys stand on the screen.
import { Component, html, useEffect, useState } from "../core/ui.js";

class Held extends Component {
  shouldComponentUpdate(next) {
    return next.at !== this.props.at;
  }

  render({ draw }) {
    return draw ? draw() : null;
  }
}

export function Calm({ visit, children }) {
  const [shown, setShown] = useState(false);
  useEffect(() => {
    const soon = globalThis.requestIdleCallback ?? ((work) => setTimeout(work, 60));
    const asked = soon(() => setShown(true), { timeout: 400 });
    return () => (globalThis.cancelIdleCallback ?? clearTimeout)(asked);
  }, []);
  const at = `${visit.calm.value} ${shown}`;
  return html`<${Held} at=${at} draw=${shown ? children : null} />`;
}
