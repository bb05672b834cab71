// Everything the rules offer for this visit, hazards first.
import { html } from "../core/ui.js";
import { Key } from "../parts/keys.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";
import { offered } from "../core/meaning.js";

export default function Means({ app, visit }) {
  visit.version.value;
  return html`
    <${Screen} app=${app} visit=${visit} title="What it may mean" over="The tool says what a reading suggests; you decide" back=${`/v/${visit.id}`}
      actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}`)} />`}>
      ${!offered(visit).length && html`<p>Nothing so far. Without a signal the phone tells what one record shows; what needs the whole house follows with the next signal.</p>`}
      <${ProposalLines} app=${app} visit=${visit} title="To be answered" />
    <//>`;
}
