// Starts the client: opens what lies on the phone, shows where we were, then asks for more.
import { html, render, useEffect, useState } from "./core/ui.js";
import { App } from "./core/app.js";
import { matched } from "./core/router.js";
import { awaited, noneAwaited } from "./core/photos.js";
import { startWorker } from "./core/updates.js";
import { clockOf } from "./core/words.js";
import { SCREENS, loadAll, screenOf } from "./screens.js";
import { Notices } from "./parts/notices.js";
import { Said } from "./parts/said.js";
import { SignIn } from "./parts/sign_in.js";
import { Missing } from "./parts/missing.js";

const LATER = 1500; // ms: the rest of the screens, once the first one stands
performance.mark("kingpost-modules");
const app = new App();
globalThis.kingpost = app; // for a look from the browser's own tools, and for the tests

function Whole() {
  const path = app.path.value;
  const found = matched(SCREENS, path);
  const wanted = found?.params.visit ?? null;
  const [held, setHeld] = useState({ id: null, visit: null });
  const who = app.session.who.value?.user;
  useEffect(() => {
    let now = true;
    if (wanted) app.visit(wanted).then((visit) => {
      performance.mark("kingpost-visit");
      if (now) setHeld({ id: `${wanted} ${who}`, visit });
    });
    return () => (now = false);
  }, [wanted, who, app.visits.value]);
  const [, setCome] = useState(null);
  const [failed, setFailed] = useState(null);
  const screen = found && screenOf(found);
  useEffect(() => {
    if (screen instanceof Promise) screen.then(() => setCome(path), () => setFailed(path));
  }, [path]);
  const ready = !(screen instanceof Promise) && (!wanted || held.id === `${wanted} ${who}`);
  return html`
    <${Notices} app=${app} />
    ${!found || failed === path ? html`<${Missing} app=${app} what=${found ? "code" : "screen"} />`
      : !ready ? html`<p class="loading" role="status">Opening…</p>`
        : wanted && !held.visit ? html`<${Missing} app=${app} what="visit" />`
          : html`<${screen} key=${path} app=${app} visit=${wanted ? held.visit : null} params=${found.params} />`}
    <${Said} app=${app} />
    <${SignIn} app=${app} />`;
}

// The phone may have closed this app while the camera was open: then its picture is gone.
async function sayMissing() {
  const what = await awaited(app).catch(() => null);
  if (!what) return;
  await noneAwaited(app);
  const clock = clockOf(what.at);
  app.said.value = { // stays until it is read
    grave: true, word: "Go there", act: () => app.go(what.place),
    text: `The camera was open at ${clock} when the app was closed: that picture did not arrive. Take it again.`,
  };
}

async function start() {
  const root = document.getElementById("app");
  try {
    await app.start();
  } catch (error) {
    root.textContent = `This phone's storage did not open. Close other tabs of this app and open it again. (${error.message})`;
    return;
  }
  root.textContent = "";
  render(html`<${Whole} />`, root);
  root.removeAttribute("aria-busy");
  performance.mark("kingpost-usable");
  startWorker(app);
  sayMissing();
  app.room.start();
  app.refresh().finally(() => app.syncer.start());
  setTimeout(loadAll, LATER);
}

start();
