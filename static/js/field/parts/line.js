// One line for many fields, typed or dictated. What was understood is written and said back;
// what was not stays in the box, so that nothing typed is lost.
import { html, useEffect, useRef, useState } from "../core/ui.js";
import { heard } from "../core/lines.js";
import { thingsOf } from "../core/things.js";
import { first, labelOf, wordOf } from "../core/words.js";

let boxes = 0;

// `onSave` gets {field: value, …}; `onEmpty` runs on Enter in an empty box.
// Who said the last thing in a line gets the keyboard at once for the next.
export function Line({ app, visit, kind, fields, onSave, onEmpty = null, hint = "Parts with commas between. Below is what was understood." }) {
  const id = useRef(null);
  id.current ??= `line-${(boxes += 1)}`;
  const box = useRef(null);
  const [said, setSaid] = useState(null);
  useEffect(() => {
    if (app.prefs.value.line === "yes" && !document.activeElement?.closest?.("#content")) box.current?.focus({ preventScroll: true });
  }, []);
  if (!visit.book.lines) return null; // a book fetched before there were lines
  const read = () => {
    const text = box.current.value.trim();
    if (!text) return;
    const found = heard(visit.book, kind, text, fields, thingsOf(visit));
    box.current.value = found.rest.join(", ");
    setSaid(found);
    if (!Object.keys(found.fields).length) return;
    app.prefer({ line: "yes" });
    onSave(found.fields);
  };
  const left = () => {
    if (box.current.value.trim()) read();
    else if (!said) app.prefer({ line: "no" }); // keys were wanted instead
  };
  const key = (event) => {
    if (event.key !== "Enter" || event.isComposing) return;
    event.preventDefault();
    if (!box.current.value.trim()) return void onEmpty?.();
    read();
  };
  const words = said && Object.entries(said.fields).map(([name, value]) => `${first(labelOf(visit.book, kind, name))}: ${shown(visit, value)}`).join(" · ");
  return html`
    <div class="text line">
      <label class="text__label" for=${id.current}>In one line</label>
      <span class="text__hint" id=${`${id.current}-hint`}>${hint}</span>
      <textarea class="text__box" id=${id.current} ref=${box} rows="2" enterkeyhint="done" autocapitalize="off" maxlength="1000"
        aria-describedby=${`${id.current}-hint`} onKeyDown=${key} onBlur=${left}></textarea>
      <p class="line__said" role="status">${words && html`<span>Understood: ${words}.</span>`}
        ${said?.rest.length > 0 && html` <span class="text__wrong">Not understood, left in the box: ${said.rest.join(", ")}. Say it otherwise, or answer below.</span>`}</p>
    </div>`;
}

// A value as it is said back; a thing that was pointed at by its name.
function shown(visit, value) {
  const thing = visit.rec(value);
  return thing ? thing.name ?? thing.place ?? thing.number ?? "found" : wordOf(visit.book, value);
}
