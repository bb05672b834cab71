// Signing in over whatever is on the screen: the page stays, and what was typed stays.
import { html, useState } from "../core/ui.js";
import { Sheet } from "./sheet.js";

export function SignIn({ app }) {
  const [words, setWords] = useState("");
  const [busy, setBusy] = useState(false);
  if (!app.signingIn.value) return null;
  const close = () => {
    setWords("");
    app.signingIn.value = false;
  };
  const send = async (event) => {
    event.preventDefault();
    const given = new FormData(event.target);
    setBusy(true);
    const said = await app.session.signIn(String(given.get("email")), String(given.get("password")));
    setBusy(false);
    if (said.words) return setWords(said.words);
    close();
    await app.refresh();
    return app.syncer.now();
  };
  return html`
    <${Sheet} title="Sign in" onClose=${close}>
      <form class="fields" onSubmit=${send}>
        <label class="text"><span class="text__label">E-mail</span>
          <input class="text__box" name="email" type="email" autocomplete="username" required aria-invalid=${words ? "true" : undefined} aria-describedby="sign-in-words" /></label>
        <label class="text"><span class="text__label">Password</span>
          <input class="text__box" name="password" type="password" autocomplete="current-password" required /></label>
        <p class="text__wrong" id="sign-in-words" role="alert">${words}</p>
        <button class="key key--main" type="submit" disabled=${busy}>${busy ? "One moment" : "Sign in"}</button>
      </form>
    <//>`;
}
