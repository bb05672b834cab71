// A change of what was agreed, with its price, said yes to by a named person.
import { html, useState } from "../core/ui.js";
import { centsOf, money } from "../core/door.js";
import { Choice, Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Change({ app, visit }) {
  const back = `/v/${visit.id}/door`;
  const people = (visit.pack.clients ?? []).map((one) => [one.name, one.name]);
  const [what, setWhat] = useState("");
  const [price, setPrice] = useState("");
  const [by, setBy] = useState(people.length === 1 ? people[0][0] : null);
  const [wrong, setWrong] = useState("");
  const cents = centsOf(price);
  const keep = () => app.saving(async () => {
    if (!what.trim()) return setWrong("Write what is added or left out.");
    if (cents === null) return setWrong("Write the price as 125 or 125.50; 0 where it costs nothing.");
    if (!by) return setWrong("Say who agreed to it.");
    const made = await visit.make("scope_change", { what: what.trim(), price_cents: cents, agreed_by: by, agreed_at: app.instant() });
    app.undo(`Agreed: ${money(cents)}.`, () => visit.remove(made));
    return app.back(back);
  });
  return html`
    <${Screen} app=${app} visit=${visit} title="Change the scope" back=${back} actions=${html`<${Key} label="They agreed" look="main" onTap=${keep} />`}>
      <label class="text"><span class="text__label">What is added or left out</span><textarea class="text__box" rows="3" maxlength="1000" value=${what} onInput=${(event) => setWhat(event.target.value)}></textarea></label>
      <label class="text text--number"><span class="text__label">Price, in dollars</span><input class="text__box" type="text" inputmode="decimal" value=${price} onInput=${(event) => setPrice(event.target.value)} /></label>
      <${Choice} legend="Who agreed" value=${by} options=${people} onPick=${setBy} />
      ${wrong && html`<p class="text__wrong" role="alert">${wrong}</p>`}
    <//>`;
}
