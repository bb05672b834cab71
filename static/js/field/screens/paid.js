// Payment received at the door: how much, how, from whom.
import { html, useState } from "../core/ui.js";
import { centsOf, money } from "../core/door.js";
import { formOf, wordOf } from "../core/words.js";
import { Choice, Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Paid({ app, visit }) {
  const back = `/v/${visit.id}/door`;
  const due = (visit.pack.fee_cents ?? 0) + visit.of("scope_change").reduce((sum, [, one]) => sum + (one.price_cents ?? 0), 0);
  const people = (visit.pack.clients ?? []).map((one) => [one.name, one.name]);
  const [amount, setAmount] = useState(due ? String(due / 100) : "");
  const [how, setHow] = useState(null);
  const [payer, setPayer] = useState(people.length === 1 ? people[0][0] : null);
  const [number, setNumber] = useState("");
  const [wrong, setWrong] = useState("");
  const keep = () => app.saving(async () => {
    const cents = centsOf(amount);
    if (cents === null || cents <= 0) return setWrong("Write the amount as 425 or 425.50.");
    if (!how) return setWrong("Say how it was paid.");
    if (!payer) return setWrong("Say who paid.");
    const made = await visit.make("payment", { amount_cents: cents, how, payer, received_at: app.instant(), reference: number.trim() || null });
    app.undo(`Received: ${money(cents)}.`, () => visit.remove(made));
    return app.back(back);
  });
  return html`
    <${Screen} app=${app} visit=${visit} title="Payment received" over=${`Due ${money(due)}`} back=${back} actions=${html`<${Key} label="Received" look="main" onTap=${keep} />`}>
      <label class="text text--number"><span class="text__label">Amount, in dollars</span><input class="text__box" type="text" inputmode="decimal" value=${amount} onInput=${(event) => setAmount(event.target.value)} /></label>
      <${Choice} legend="How" keep value=${how} options=${formOf(visit.book, "payment", "how").options.map((one) => [one, wordOf(visit.book, one)])} onPick=${setHow} />
      <${Choice} legend="Who paid" value=${payer} options=${people} onPick=${setPayer} />
      <label class="text"><span class="text__label">Number on the check or slip, if there is one</span><input class="text__box" type="text" maxlength="60" value=${number} onInput=${(event) => setNumber(event.target.value)} /></label>
      ${wrong && html`<p class="text__wrong" role="alert">${wrong}</p>`}
    <//>`;
}
