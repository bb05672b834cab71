// Save a copy, or go on with a second phone.
import { html, useState } from "../core/ui.js";
import { copyOf, sealed } from "../core/saved_copy.js";
import { Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

const LEAST = 10;

export default function Copy({ app, visit }) {
  visit.version.value;
  const [words, setWords] = useState("");
  const [again, setAgain] = useState("");
  const [wrong, setWrong] = useState("");
  const [busy, setBusy] = useState(false);
  const { saved, onServer } = visit.outbox.counts();
  const back = `/v/${visit.id}`;
  const save = async () => {
    if (words.length < LEAST) return setWrong(`Take at least ${LEAST} letters or signs; a short sentence is easiest to keep in mind.`);
    if (words !== again) return setWrong("The two are not the same. Write the second one again.");
    setWrong("");
    setBusy(true);
    try {
      const blob = await sealed(await copyOf(visit, app.store, { client: app.version, now: app.instant() }), words);
      const url = URL.createObjectURL(blob);
      const link = Object.assign(document.createElement("a"), { href: url, download: `${visit.pack.visit.number}-${app.instant().slice(0, 16).replace(/\W/g, "")}.kpcopy` });
      link.click();
      setTimeout(() => URL.revokeObjectURL(url), 60000);
      app.say("The copy is with the phone's files. Hand it to the office with its words.");
    } catch (error) {
      app.fail(`The copy could not be made. ${error.message}`);
    }
    return setBusy(false);
  };
  return html`
    <${Screen} app=${app} visit=${visit} title="Save a copy" over=${`${saved} entries here, ${onServer} on the server`} back=${back}
      actions=${html`<${Key} label=${busy ? "Writing" : "Save the copy"} look="main" disabled=${busy} onTap=${save} />`}>
      <p>Everything you entered on this phone for this visit, with all pictures, in one encrypted file. The office can bring it in even if this phone never sends again.</p>
      <label class="text"><span class="text__label">Words that open it</span><input class="text__box" type="password" autocomplete="new-password" value=${words} onInput=${(event) => setWords(event.target.value)} /></label>
      <label class="text"><span class="text__label">The same once more</span><input class="text__box" type="password" autocomplete="new-password" value=${again} onInput=${(event) => setAgain(event.target.value)} /></label>
      ${wrong && html`<p class="text__wrong" role="alert">${wrong}</p>`}
      <p class="caution">Nobody can open the file without these words, the office neither. Write them down apart from the phone.</p>
      <section class="part"><h2 class="part__title">Going on with a second phone</h2>
        <p>Sign in there as yourself and fetch the day. What is on the server comes along; the ${saved - onServer} entries that are only here follow when this phone sends. Both phones may write: what they say differently is shown as two values, and you choose.</p></section>
    <//>`;
}
