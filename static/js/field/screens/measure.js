// A measured check: value, unit, instrument; feet and inches by their own keys. Without an
// instrument, or with one whose calibration ran out, a value counts as indicative.
import { html, useEffect, useRef, useState } from "../core/ui.js";
import { briefOf } from "../core/brief.js";
import { decimal, feetAndInches, lengthIn } from "../core/lengths.js";
import { first } from "../core/words.js";
import { fault } from "../core/numbers.js";
import { Choice, Key, Row } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";

const LENGTHS = new Set(["in", "ft"]);
const PAD = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "′", "0", "″", "1/2", "1/4", "1/8", "1/16", ".", "⌫"];
const HOW = [["measured", "measured"], ["read", "read"], ["estimated", "estimated"], ["told", "told"]];

export default function Measure({ app, visit, params, item }) {
  visit.version.value;
  const asks = Object.entries(item.ask ?? {});
  const [what, setWhat] = useState(asks.length === 1 ? asks[0][0] : null);
  const [text, setText] = useState("");
  const [how, setHow] = useState("measured");
  const [picked, setTool] = useState(null);
  const back = `/v/${visit.id}/s/${params.stop}`;
  const box = useRef(null);
  useEffect(() => {
    if (what) box.current?.focus();
  }, [what]);
  const unit = what ? item.ask[what].unit : "";
  const length = LENGTHS.has(unit);
  const tool = picked ?? recent(visit, unit);
  const value = length ? lengthIn(unit, text) : plain(text);
  const wrong = text && (value === null ? `Write it as 8′ 6 1/2″, 102.5 or 260 cm.` : fault(value, { form: "decimal", min: -100000, max: 1000000 }));
  const about = item.item || params.item;
  const held = visit.at(params.stop, "measure").filter(([, one]) => one.item === about);
  const keep = () => app.saving(async () => {
    if (!what) return app.fail("Tap what was measured first.");
    if (!text || wrong) return app.fail(wrong || "Write the value first.");
    const made = await visit.make("measure", { stop: params.stop, item: about, what, value, unit, how_known: how, instrument: how === "measured" ? tool : null });
    app.undo(`${first(item.ask[what].label)}: ${value} ${unit}.`, () => visit.remove(made));
    setText("");
    if (asks.length > 1) setWhat(null);
    return made;
  });
  const press = (key) => setText(key === "⌫" ? text.slice(0, -1) : text + (key.includes("/") ? ` ${key}` : key));
  return html`
    <${Screen} app=${app} visit=${visit} title=${first(item.label)} over=${visit.rec(params.stop)?.name} back=${back}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${params.stop} about=${held.at(-1)?.[0] ?? null} />
        <${Key} label="Keep" look="main" name="keep" onTap=${keep} /><${Key} label="Done" name="done" onTap=${() => app.back(back)} />`}>
      ${held.map(([id, one]) => html`<${Row} key=${id} href=${app.href(`/v/${visit.id}/r/${id}`)} ...${briefOf(visit, one)} mark=${standing(visit, one)} />`)}
      ${asks.length > 1 && html`<${Choice} legend="What was measured" keep value=${what} options=${asks.map(([key, one]) => [key, one.label])} onPick=${setWhat} />`}
      <label class="text text--number"><span class="text__label">Value${unit ? `, ${unit}` : ""}</span>
        <input class="text__box" type="text" inputmode="decimal" autocomplete="off" value=${text} aria-invalid=${wrong ? "true" : undefined} ref=${box} onInput=${(event) => setText(event.target.value)} />
        <span role="status">${wrong || (length && value ? `${value} ${unit}, that is ${feetAndInches(unit, value)}` : "")}</span></label>
      ${length && html`<div class="keypad keypad--six" role="group" aria-label="Feet, inches, fractions">${PAD.map((key) => html`<button type="button" class="keypad__key" key=${key} aria-label=${named(key)} onClick=${() => press(key)}>${key}</button>`)}</div>`}
      <${Choice} legend="How it is known" typing keep value=${how} options=${HOW} onPick=${setHow} />
      ${how === "measured" && html`<${Choice} legend="Measured with" typing value=${tool} options=${(visit.book.instruments ?? []).map((one) => [one.key, one.expired ? `${one.name}, calibration run out` : one.name])} onPick=${setTool} />
        <p class="small">${toleranceOf(visit, tool)}</p>`}
      ${held.length > 0 && html`<${ProposalLines} app=${app} visit=${visit} subject=${held.at(-1)[0]} stop=${params.stop} />`}
    <//>`;
}

const plain = (text) => (/^-?\d+([.,]\d+)?$/.test(text.trim()) ? decimal(Number(text.replace(",", "."))) : null);
const named = (key) => ({ "′": "feet", "″": "inches", "⌫": "Take the last sign off", "1/2": "one half", "1/4": "one quarter", "1/8": "one eighth", "1/16": "one sixteenth", ".": "point" })[key] ?? key;

// What was last measured in this unit was measured with the tool that is in the hand again.
const recent = (visit, unit) => visit.of("measure").filter(([, one]) => one.instrument && one.unit === unit).at(-1)?.[1].instrument ?? null;

function toleranceOf(visit, key) {
  const tool = (visit.book.instruments ?? []).find((one) => one.key === key);
  if (!tool) return "Without a named instrument the value is printed as indicative.";
  return [tool.tolerance && `Tolerance ${tool.tolerance}.`, tool.expired ? "Its calibration has run out: the value is printed as indicative." : ""].filter(Boolean).join(" ");
}

export function standing(visit, one) {
  if (one.how_known !== "measured") return one.how_known ?? "";
  const tool = (visit.book.instruments ?? []).find((row) => row.key === one.instrument);
  return !tool || tool.expired ? "indicative" : tool.name;
}
