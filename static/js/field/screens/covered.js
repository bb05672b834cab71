// The covered screen, for the pocket: no tap does anything until two far keys are pressed in
// turn. No gesture is needed; a wet sleeve seldom finds both.
import { html, useEffect, useState } from "../core/ui.js";

const WITHIN = 4000;

export default function Covered({ app, visit }) {
  const [step, setStep] = useState(0);
  useEffect(() => {
    if (!step) return undefined;
    const timer = setTimeout(() => setStep(0), WITHIN);
    return () => clearTimeout(timer);
  }, [step]);
  return html`
    <main class="covered" id="content">
      <h1 class="covered__title" tabindex="-1">Covered</h1>
      <p>For the pocket. Runners still call, and what waits is still sent.</p>
      <button type="button" class="key covered__one" onClick=${() => setStep(1)} aria-pressed=${String(step === 1)}>First press here</button>
      <p role="status">${step ? "Now the other one." : ""}</p>
      <button type="button" class="key covered__two" disabled=${!step} onClick=${() => app.back(`/v/${visit.id}`)}>Then here</button>
    </main>`;
}
