// Large things to press: a key, a row that leads somewhere, a choice among a few.
import { classes, html, useRef } from "../core/ui.js";
import { first } from "../core/words.js";

export function Key({ label, onTap, look = "plain", pressed, hint, href, disabled = false, name }) {
  const inside = html`<span class="key__label">${label}</span>${hint && html`<span class="key__hint">${hint}</span>`}`;
  const named = classes("key", `key--${look}`);
  if (href) return html`<a class=${named} href=${href} data-name=${name}>${inside}</a>`;
  return html`<button type="button" class=${named} onClick=${onTap} disabled=${disabled} data-name=${name}
    aria-pressed=${pressed === undefined ? undefined : String(Boolean(pressed))}>${inside}</button>`;
}

// The whole row taps. `mark` is a word, never a colour alone.
export function Row({ title, note, onTap, href, mark, look = "" }) {
  const inside = html`
    <span class="row__text"><span class="row__title">${title}</span>${note && html`<span class="row__note">${note}</span>`}</span>
    ${mark && html`<span class="row__mark">${mark}</span>`}`;
  const named = classes("row", look && `row--${look}`);
  return href
    ? html`<a class=${named} href=${href}>${inside}</a>`
    : html`<button type="button" class=${named} onClick=${onTap}>${inside}</button>`;
}

// One of a few; tapping the chosen one again takes it back unless `keep`. `typing` leaves the
// keyboard where it is: the next word goes into the same box.
export function Choice({ legend, options, value, onPick, keep = false, look = "", typing = false }) {
  return html`
    <fieldset class=${classes("pick", look && `pick--${look}`)}>
      <legend class="pick__legend">${legend}</legend>
      <div class="pick__keys">
        ${options.map(([one, words]) => html`
          <button type="button" key=${one} class="pick__key" aria-pressed=${String(one === value)} onMouseDown=${typing ? (event) => event.preventDefault() : undefined}
            onClick=${() => onPick(one === value && !keep ? null : one)}>${first(String(words))}</button>`)}
      </div>
    </fieldset>`;
}

// Any number of a few.
export function Choices({ legend, options, values, onPick }) {
  const held = values ?? [];
  const turned = (one) => (held.includes(one) ? held.filter((other) => other !== one) : [...held, one]);
  return html`
    <fieldset class="pick">
      <legend class="pick__legend">${legend}</legend>
      <div class="pick__keys">
        ${options.map(([one, words]) => html`
          <button type="button" key=${one} class="pick__key" aria-pressed=${String(held.includes(one))}
            onClick=${() => onPick(turned(one))}>${first(String(words))}</button>`)}
      </div>
    </fieldset>`;
}

let steppers = 0;
// A count with a big minus and plus; the number itself can be typed.
export function Stepper({ label, value, onChange, min = 0, max = 999, note = "" }) {
  const made = useRef(null);
  made.current ??= `stepper-${(steppers += 1)}`;
  const id = made.current;
  const held = value ?? 0;
  const to = (next) => onChange(Math.min(max, Math.max(min, next)));
  return html`
    <div class="count" role="group" aria-label=${label}>
      <label class="count__label" for=${id}>${label}${note && html`<small>${note}</small>`}</label>
      <button type="button" class="count__step" aria-label=${`One less: ${label}`} disabled=${held <= min} onClick=${() => to(held - 1)}>−</button>
      <input id=${id} class="count__value" inputmode="numeric" value=${value ?? ""} placeholder="–"
        onFocus=${(event) => event.target.select()}
        onChange=${(event) => /^\d+$/.test(event.target.value.trim()) && to(Number(event.target.value))} />
      <button type="button" class="count__step" aria-label=${`One more: ${label}`} disabled=${held >= max} onClick=${() => to(held + 1)}>+</button>
    </div>`;
}
