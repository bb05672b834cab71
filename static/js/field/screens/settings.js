// This phone: which hand, light or dark, who is signed in.
import { html } from "../core/ui.js";
import { pending } from "../core/updates.js";
import { ask } from "../core/net.js";
import { Choice, Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";

export default function Settings({ app }) {
  const { hand, theme } = app.prefs.value;
  const who = app.session.who.value;
  const out = async () => {
    const waits = await pending(app);
    if (waits && !app.warned) {
      app.warned = true;
      return app.fail(`${waits} entries of yours are not sent. Signing out keeps them here until you come back. Press once more to sign out all the same.`);
    }
    app.warned = false;
    const token = await app.session.fresh();
    if (!token) return app.fail("Signing out needs a signal.");
    await ask("POST", "/api/session/sign-out", { csrf: token });
    await app.session.fresh();
    return app.say("Signed out. What is on this phone stays on it.");
  };
  return html`
    <${Screen} app=${app} title="This phone" back="/" actions=${html`<${Key} label="Done" name="done" look="main" onTap=${() => app.back("/")} />`}>
      <${Choice} legend="Main keys for" keep value=${hand} options=${[["right", "right hand"], ["left", "left hand"]]} onPick=${(value) => app.prefer({ hand: value })} />
      <${Choice} legend="Screen" keep value=${theme} options=${[["auto", "as the phone"], ["light", "light"], ["dark", "dark"]]} onPick=${(value) => app.prefer({ theme: value })} />
      <section class="part"><h2 class="part__title">Person</h2>
        <p>${who ? `${who.name}, ${who.firm_name}` : "Nobody has signed in here yet."}</p>
        <div class="rows">
          <${Key} label=${who ? "Sign in again" : "Sign in"} onTap=${() => (app.signingIn.value = true)} />
          ${who && html`<${Key} label="Sign out" look="quiet" onTap=${out} />`}
        </div></section>
      <p class="small">Version ${app.version.slice(0, 8)}</p>
    <//>`;
}
