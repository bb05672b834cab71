// The frame of every screen: head with the way back, what is kept where, the content, and
// the actions in the lower third where a thumb reaches them.
import { classes, html, useEffect, useRef } from "../core/ui.js";
import { Strip } from "./strip.js";
import { RunnerStrip } from "./runner_strip.js";

export function Screen({ app, visit = null, title, over = "", back = null, children, actions = null, look = "" }) {
  visit?.version.value;
  const head = useRef(null);
  useEffect(() => {
    document.title = `${title} · Kingpost`;
    // A box that asked for the keyboard keeps it; else a screen reader begins at the title.
    if (!document.activeElement?.closest?.("#content")) head.current?.focus({ preventScroll: true });
    if (!app.place.settle()) scrollTo(0, 0);
  }, [app.path.value]);
  return html`
    <div class=${classes("screen", look && `screen--${look}`)}>
      <header class="screen__head">
        ${back !== null && html`<button type="button" class="screen__back" onClick=${() => app.back(back)}>
          <span aria-hidden="true">‹</span><span class="screen__back-word">Back</span></button>`}
        <div class="screen__titles">
          ${over && html`<p class="screen__over">${over}</p>`}
          <h1 class="screen__title" ref=${head} tabindex="-1">${title}</h1>
        </div>
      </header>
      ${visit && html`<${RunnerStrip} app=${app} visit=${visit} />`}
      <main class="screen__main" id="content">${children}</main>
      <footer class="screen__foot">
        ${actions && html`<div class="screen__actions" role="group" aria-label="Actions">${actions}</div>`}
        <${Strip} app=${app} visit=${visit} />
      </footer>
    </div>`;
}
