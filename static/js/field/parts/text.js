// Text that is saved while it is typed: 150 ms after the last key, on leaving the field, and
// when the page goes out of sight; `lazy` ones not before the field is left. Never drawn anew while an input method is composing.
import { html, useEffect, useRef } from "../core/ui.js";

const AFTER = 150;
let fields = 0;

export function TextField({ label, value, onSave, lines = 1, max = 4000, mode, hint, phrases = [], enter = "next", plain = false, lazy = false, focused = false, whole = false }) {
  const id = useRef(null);
  id.current ??= `text-${(fields += 1)}`;
  const box = useRef(null);
  const state = useRef({ saved: value ?? "", timer: null, composing: false });
  const save = () => {
    clearTimeout(state.current.timer);
    const now = box.current?.value ?? state.current.saved;
    if (now === state.current.saved) return;
    state.current.saved = now;
    onSave(now.trim() === "" ? null : now);
  };
  const later = () => {
    clearTimeout(state.current.timer);
    if (!state.current.composing && !lazy) state.current.timer = setTimeout(save, AFTER);
  };
  useEffect(() => {
    if (focused) box.current.focus();
    const hidden = () => document.visibilityState === "hidden" && save();
    document.addEventListener("visibilitychange", hidden);
    addEventListener("pagehide", save);
    return () => {
      save();
      document.removeEventListener("visibilitychange", hidden);
      removeEventListener("pagehide", save);
    };
  }, []);
  // A value from elsewhere shows unless somebody is typing here.
  useEffect(() => {
    if (document.activeElement === box.current || (value ?? "") === state.current.saved) return;
    box.current.value = value ?? "";
    state.current.saved = value ?? "";
  }, [value]);
  const add = (words) => {
    const held = box.current.value.trim();
    box.current.value = held ? `${held} ${words}` : words;
    save();
  };
  const given = {
    id: id.current, ref: box, defaultValue: value ?? "", maxlength: max, onInput: later, onBlur: save, enterkeyhint: enter,
    onCompositionStart: () => (state.current.composing = true),
    onCompositionEnd: () => { state.current.composing = false; later(); },
    onFocus: (event) => whole && event.target.select(), // a name is written anew, not added to
    "aria-describedby": hint ? `${id.current}-hint` : undefined,
    ...(plain ? { autocapitalize: "off", autocorrect: "off", spellcheck: "false" } : { autocapitalize: "sentences" }),
    ...(mode ? { inputmode: mode } : {}),
  };
  return html`
    <div class="text">
      <label class="text__label" for=${id.current}>${label}</label>
      ${hint && html`<span class="text__hint" id=${`${id.current}-hint`}>${hint}</span>`}
      ${lines > 1 ? html`<textarea class="text__box" rows=${lines} ...${given}></textarea>`
        : html`<input class="text__box" type="text" ...${given} />`}
      ${phrases.length > 0 && html`<div class="text__phrases">${phrases.map((words) => html`
        <button type="button" class="key key--small" key=${words} onClick=${() => add(words)}>${words}</button>`)}</div>`}
    </div>`;
}
