// The day: this person's visits as they lie on the phone, soonest first.
import { html, useState } from "../core/ui.js";
import { toWalk } from "../core/packages.js";
import { agreedAt } from "../core/words.js";
import { Key, Row } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Day({ app }) {
  const [busy, setBusy] = useState(false);
  const who = app.session.who.value;
  const mine = (app.visits.value ?? []).filter(toWalk);
  const fetchAll = async () => {
    setBusy(true);
    const changed = await app.refresh();
    setBusy(false);
    if (changed !== null) return app.say("The visits on this phone are up to date.");
    if (app.session.state.value === "out") return (app.signingIn.value = true);
    return app.fail("No signal. What is on this phone opens as it is.");
  };
  return html`
    <${Screen} app=${app} title=${who ? "Your visits" : "On site"} over=${who ? `${who.name}, ${who.firm_name}` : ""}
      actions=${html`
        <${Key} label="Settings" href=${app.href("/settings")} />
        <${Key} label=${busy ? "Fetching" : "Fetch the day"} look="main" disabled=${busy} onTap=${fetchAll} />`}>
      ${!who && html`<p>Sign in once with a signal. After that the day opens without one.</p>
        <${Key} label="Sign in" look="main" onTap=${() => (app.signingIn.value = true)} />`}
      ${who && !mine.length && html`<p>No visits on this phone. Fetch the day before you drive.</p>`}
      ${byDay(mine).map(([day, rows]) => html`
        <section class="part" key=${day}>
          <h2 class="part__title">${day}</h2>
          <div class="rows">${rows.map((row) => html`<${Row} key=${row.id} href=${app.href(`/v/${row.id}`)}
            title=${`${agreedAt(row.starts_at, row.property.time_zone).clock}, ${row.property.street}`} note=${`${row.property.city}, ${row.property.state}`} mark=${row.number} />`)}</div>
        </section>`)}
    <//>`;
}

function byDay(rows) {
  const days = new Map();
  for (const row of rows) {
    const { day } = agreedAt(row.starts_at, row.property.time_zone);
    days.set(day, [...(days.get(day) ?? []), row]);
  }
  return [...days];
}
