// What is still open, of a stop or of the whole visit: each line answered where it stands.
import { html, useRef, useState } from "../core/ui.js";
import { dutyOf, openOf } from "../core/ledger.js";
import { useTurns } from "../core/turns.js";
import { first } from "../core/words.js";
import { Key } from "./keys.js";
import { TextField } from "./text.js";

const VERBS = { inspect: "looked", describe: "described", operate: "operated", report: "described" };
const SAYS = { looked: "Looked, nothing noted", described: "Describe it", operated: "Operated" };
const LABELS = { described: "What it is, in words", operated: "In words, if it needs any", not_inspected: "Because", looked: "In words, if it needs any", not_present: "In words, if it needs any", reported: "What was found, in words" };
const IN_WORDS = new Set(["describe", "operate"]); // asked for in words: a box stands ready, no key before it
const WORDS_FIRST = new Set(["described", "reported", "not_inspected"]); // no answer without words
const MOST = 6;

// `feet` true or false keeps only what needs them or does not; `whole` shows every line.
export function OpenLines({ app, visit, stop = null, leave = new Set(), feet = null, whole = false }) {
  visit.calm.value;
  const [all, setAll] = useState(whole);
  const [pinned, setPinned] = useState([]); // answered just now, and their words still being written
  const keyOf = (line) => `${line.duty} ${line.stop}`;
  const open = openOf(visit, stop).filter((line) => !leave.has(line.duty) && (feet === null || line.needs_feet === feet))
    .sort((a, b) => Number(b.needs_feet) - Number(a.needs_feet));
  const held = new Set(pinned.map(keyOf));
  // Every line stays where it was first seen: nothing moves under a thumb that answers one.
  const seen = useRef(new Map());
  for (const line of open) if (!seen.current.has(keyOf(line))) seen.current.set(keyOf(line), seen.current.size);
  const lines = [...pinned, ...open.filter((line) => !held.has(keyOf(line)))].sort((a, b) => seen.current.get(keyOf(a)) - seen.current.get(keyOf(b)));
  if (!lines.length) return html`<p>Nothing is open ${stop ? "at this stop" : ""}.</p>`;
  const shown = all ? lines : lines.slice(0, MOST);
  const pin = (line) => setPinned((now) => (now.some((one) => keyOf(one) === keyOf(line)) ? now : [line, ...now]));
  return html`
    <ul class="open-lines">${shown.map((line) => html`<li key=${keyOf(line)}>
      <${OpenLine} app=${app} visit=${visit} line=${line} named=${!stop} onBegun=${() => pin(line)} /></li>`)}</ul>
    ${lines.length > MOST && !whole && html`<${Key} look="small" label=${all ? "Fewer" : `All ${lines.length}`} name="all-lines" onTap=${() => setAll(!all)} />`}`;
}

// One duty: what it asks, and the answers that close it. Words can follow any answer; where
// they have to, the answer is written with them.
export function OpenLine({ app, visit, line, named = true, onBegun = () => {} }) {
  const duty = dutyOf(visit, line.duty);
  const [writing, setWriting] = useState(null);
  const held = visit.of("duty", { duty: line.duty }).find(([, one]) => !one.stop || one.stop === line.stop);
  const made = useRef(null);
  const inTurn = useTurns(app);
  const answer = (fields) => inTurn(async () => {
    const rec = held?.[0] ?? made.current;
    if (rec && visit.rec(rec)) return visit.set(rec, fields);
    made.current = await visit.make("duty", { duty: line.duty, stop: line.stop || null, ...fields });
    const own = made.current;
    app.undo("Answered.", () => visit.remove(own));
    return own;
  });
  const pick = (one) => {
    onBegun();
    setWriting(one);
    if (!WORDS_FIRST.has(one)) answer({ answer: one });
  };
  const verb = VERBS[duty.duty];
  const asked = writing ?? (IN_WORDS.has(duty.duty) && !held ? verb : null);
  const found = ["operate", "report"].includes(duty.duty) ? [["reported", "Something was found"]] : [];
  const none = verb !== "looked" && ["if_found", "if_absent"].includes(duty.trigger) ? [["looked", "Looked, none"]] : [];
  const keys = [...none, [verb, SAYS[verb]], ...found, ["not_present", "Not there"], ["not_inspected", "Not inspected, because"]];
  return html`
    <div class="open-line" data-duty=${line.duty}>
      <p class="open-line__asks">${named && line.stop ? `${line.place}: ` : ""}${first(line.hint || duty.text)}</p>
      <div class="open-line__keys">${keys.map(([one, words]) => html`
        <${Key} key=${one} look="small" label=${words} name=${one} pressed=${writing === one || held?.[1].answer === one} onTap=${() => pick(one)} />`)}</div>
      ${asked && html`<${TextField} key=${asked} label=${LABELS[asked]} lazy=${WORDS_FIRST.has(asked)} focused=${writing && WORDS_FIRST.has(writing)} lines=${2} max=${2000} value=${held?.[1].text}
        onSave=${(text) => { onBegun(); setWriting(asked); if (text || !WORDS_FIRST.has(asked)) answer({ answer: asked, text }); }} />`}
    </div>`;
}
