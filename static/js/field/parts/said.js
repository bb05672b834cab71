// What was just done, with the way back; or what went wrong, until it is read.
import { classes, html } from "../core/ui.js";

export function Said({ app }) {
  const said = app.said.value;
  const close = () => (app.said.value = null);
  return html`
    <div class="said" role=${said?.grave ? "alert" : "status"} aria-live=${said?.grave ? "assertive" : "polite"}>
      ${said && html`
        <div class=${classes("said__line", said.grave && "said__line--grave")}>
          <p class="said__text">${said.text}</p>
          ${said.act && html`<button type="button" class="key key--small" onClick=${() => { close(); app.saving(said.act); }}>${said.word}</button>`}
          <button type="button" class="key key--small" onClick=${close}>Close</button>
        </div>`}
    </div>`;
}
