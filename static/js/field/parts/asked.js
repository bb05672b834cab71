// What an item asks, each question with its answers; its record comes with the first of them.
import { useTurns } from "../core/turns.js";
import { html } from "../core/ui.js";
import { first, wordOf } from "../core/words.js";
import { Choice } from "./keys.js";
import { TextField } from "./text.js";

const ANSWERS = ["yes", "no", "looked_none", "could_not_see"];

export function Asked({ app, visit, stop, name, item }) {
  visit.version.value;
  const of = item.item || name;
  const inTurn = useTurns(app);
  return Object.entries(item.ask).map(([what, ask]) => {
    const find = () => visit.at(stop, "observation").find(([, record]) => record.item === of && record.what === what);
    const held = find();
    const save = (fields) => inTurn(() => {
      const now = find();
      return now ? visit.set(now[0], fields) : visit.make("observation", { stop, item: of, what, how_known: "seen", ...fields });
    });
    return html`
      <div class="asked" key=${what}>
        <${Choice} legend=${first(ask.label)} value=${held?.[1].answer} onPick=${(answer) => save({ answer })}
          options=${ANSWERS.map((one) => [one, wordOf(visit.book, one)])} />
        ${held && html`<${TextField} label="In words" value=${held[1].text} lines=${2} onSave=${(text) => save({ text })} />`}
      </div>`;
  });
}
