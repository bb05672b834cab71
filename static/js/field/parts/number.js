// A number by the phone's own keypad, with big keys beside it for gloves. Text type: what
// cannot be read as a number stays on the screen with a sentence that says what to do.
import { fault } from "../core/numbers.js";
import { html, useRef, useState } from "../core/ui.js";

let fields = 0;

// `form` is int or decimal with min and max; a decimal is kept as text ("36.5").
export function NumberField({ label, value, form, onSave, unit = "", hint = "" }) {
  const id = useRef(null);
  id.current ??= `number-${(fields += 1)}`;
  const box = useRef(null);
  const [wrong, setWrong] = useState("");
  const save = () => {
    const text = box.current.value.trim().replace(",", ".");
    const said = fault(text, form);
    setWrong(said);
    if (said) return;
    const now = text === "" ? null : form.form === "int" ? Number(text) : text;
    if (now !== (value ?? null)) onSave(now);
  };
  return html`
    <div class="text text--number">
      <label class="text__label" for=${id.current}>${label}</label>
      ${hint && html`<span class="text__hint">${hint}</span>`}
      <span class="text__unit">
        <input id=${id.current} ref=${box} class="text__box" type="text" defaultValue=${value ?? ""}
          inputmode=${form.form === "int" && !(form.min < 0) ? "numeric" : "decimal"} enterkeyhint="next"
          aria-invalid=${wrong ? "true" : undefined} aria-describedby=${wrong ? `${id.current}-wrong` : undefined}
          onChange=${save} onBlur=${save} />${unit && html`<span>${unit}</span>`}
      </span>
      ${wrong && html`<span class="text__wrong" id=${`${id.current}-wrong`} role="alert">${wrong}</span>`}
    </div>`;
}

const KEYS = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"];

// Large keys for a number; `onDone` gets the text.
export function NumberKeys({ label, unit = "", value = "", onDone, done = "Keep" }) {
  const [text, setText] = useState(String(value ?? ""));
  const press = (key) => {
    if (key === "⌫") setText(text.slice(0, -1));
    else if (key !== "." || !text.includes(".")) setText(text + key);
  };
  return html`
    <div class="keypad" role="group" aria-label=${label}>
      <output class="keypad__shown" aria-live="polite"><span class="keypad__label">${label}</span> ${text || "–"} ${unit}</output>
      ${KEYS.map((key) => html`<button type="button" class="keypad__key" key=${key}
        aria-label=${key === "⌫" ? "Take the last digit off" : key} onClick=${() => press(key)}>${key}</button>`)}
      <button type="button" class="key key--main keypad__done" onClick=${() => onDone(text)}>${done}</button>
    </div>`;
}
