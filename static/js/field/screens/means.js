// Everything the rules offer for this visit, hazards first.
import { html } from "../core/ui.js";
import { Key } from "../parts/keys.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";
import { offered } from "../core/meaning.js";
import { wholeOf } from "../core/whole_house.js";

export default function Means({ app, visit }) {
  visit.version.value;
  return html`
    <${Screen} app=${app} visit=${visit} title="What it may mean" over="The tool says what a reading suggests; you decide" back=${`/v/${visit.id}`}
      actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back(`/v/${visit.id}`)} />`}>
      ${!offered(visit).length && html`<p>${wholeOf(visit) ? "Nothing so far." : "Nothing so far; the whole house is still being looked at."}</p>`}
      <${ProposalLines} app=${app} visit=${visit} title="To be answered" />
    <//>`;
}
