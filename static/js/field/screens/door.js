// At the door: who has signed, a change of scope, payment. An unsigned visit never stops
// recording; only the report waits for it.
import { html } from "../core/ui.js";
import { money, signedBy } from "../core/door.js";
import { inTraining, inspectorOf } from "../core/recorders.js";
import { clockOf } from "../core/words.js";
import { Key, Row } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Door({ app, visit }) {
  visit.version.value;
  const at = `/v/${visit.id}`;
  if (inTraining(visit)) {
    return html`<${Screen} app=${app} visit=${visit} title="At the door" over=${visit.pack.visit.property.street} back=${at} actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(at)} />`}>
      <p>Signatures, a change of scope and payment are for ${inspectorOf(visit)}. You record; what you enter is told as recorded in training.</p><//>`;
  }
  const { clients = [], agreement, fee_cents: fee, paid_at: paid } = visit.pack;
  const changes = visit.of("scope_change");
  const payments = visit.of("payment");
  return html`
    <${Screen} app=${app} visit=${visit} title="At the door" over=${visit.pack.visit.property.street} back=${at} actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(at)} />`}>
      <section class="part"><h2 class="part__title">Agreement</h2>
        ${!agreement && html`<p>No agreement was made for this visit. The office sends it; recording goes on meanwhile.</p>`}
        <div class="rows">${clients.map((one) => {
          const signed = signedBy(visit, one);
          return html`<${Row} key=${one.id} href=${app.href(`${at}/door/sign/${one.id}`)} title=${one.name} note=${signed ? `signed ${clockOf(signed.at)}${signed.here ? ", on this phone" : ""}` : "not signed yet"} mark=${signed ? "" : "sign"} look=${signed ? "done" : ""} />`;
        })}</div></section>
      <section class="part"><h2 class="part__title">Scope and price</h2>
        <p>Agreed: ${money(fee)}${changes.length ? `, with changes ${money((fee ?? 0) + changes.reduce((sum, [, one]) => sum + (one.price_cents ?? 0), 0))}` : ""}</p>
        <div class="rows">${changes.map(([id, one]) => html`<${Row} key=${id} href=${app.href(`${at}/r/${id}`)} title=${one.what} note=${`${money(one.price_cents)}, ${one.agreed_by ? `agreed by ${one.agreed_by}` : "not agreed yet"}`} />`)}
          <${Row} href=${app.href(`${at}/door/change`)} title="Change the scope" note="What is added or left out, and its price" /></div></section>
      <section class="part"><h2 class="part__title">Payment</h2>
        <p>${paid ? `Paid ${clockOf(paid)}.` : payments.length ? "Received on this phone." : "Not received yet."}</p>
        <div class="rows">${payments.map(([id, one]) => html`<${Row} key=${id} href=${app.href(`${at}/r/${id}`)} title=${money(one.amount_cents)} note=${`${one.how ?? ""} from ${one.payer ?? "?"}, ${clockOf(one.received_at)}`} />`)}
          <${Row} href=${app.href(`${at}/door/paid`)} title="Payment received" /></div></section>
    <//>`;
}
