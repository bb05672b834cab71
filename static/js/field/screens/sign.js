// One client signs on this phone: the whole text, then a line drawn by finger or the name
// typed. What was signed is named by its digest.
import { html, useRef, useState } from "../core/ui.js";
import { signedBy } from "../core/door.js";
import { clockOf } from "../core/words.js";
import { Choice, Key } from "../parts/keys.js";
import { Screen } from "../parts/screen.js";
import { thinned } from "../core/marks.js";

const WIDTH = 1000;
const HEIGHT = 300;
const MOST_STROKES = 24;

export default function Sign({ app, visit, params }) {
  visit.version.value;
  const back = `/v/${visit.id}/door`;
  const { clients = [], agreement } = visit.pack;
  const client = clients.find((one) => one.id === params.client);
  const [how, setHow] = useState("finger");
  const [strokes, setStrokes] = useState([]);
  const [name, setName] = useState(client?.name ?? "");
  const [wrong, setWrong] = useState("");
  if (!client || !agreement) return html`<${Screen} app=${app} visit=${visit} title="Agreement" back=${back}><p>There is no agreement to sign on this phone. Fetch the day with a signal.</p><//>`;
  const signed = signedBy(visit, client);
  const sign = () => app.saving(async () => {
    if (how === "finger" && !strokes.length) return setWrong("Sign on the line, or choose to type the name.");
    if (!name.trim()) return setWrong("Write the name of the person who signs.");
    await visit.make("signature", {
      client: client.id, name: name.trim(), agreement: agreement.sha256, text_sha256: agreement.sha256, typed: how === "typed",
      strokes: how === "finger" ? strokes : null, signed_at: app.instant(),
    });
    app.say(`${client.name} has signed.`);
    return app.back(back);
  });
  return html`
    <${Screen} app=${app} visit=${visit} title="Agreement" over=${client.name} back=${back}
      actions=${html`${strokes.length > 0 && html`<${Key} label="Clear" onTap=${() => setStrokes([])} />`}
        <${Key} label=${signed ? "Signed" : "I sign this agreement"} look="main" name="sign" disabled=${Boolean(signed)} onTap=${sign} />`}>
      ${signed && html`<p class="seal">Signed ${clockOf(signed.at)}${signed.here ? ", on this phone" : ", by the client's own link"}.</p>`}
      <div class="agreement" tabindex="0" aria-label="The text of the agreement">${agreement.text.split(/\n{2,}/).map((part, at) => html`<p key=${at}>${part}</p>`)}</div>
      <${Choice} legend="Sign" keep value=${how} options=${[["finger", "with a finger"], ["typed", "by typing the name"]]} onPick=${setHow} />
      <label class="text"><span class="text__label">Name</span><input class="text__box" type="text" autocomplete="off" value=${name} onInput=${(event) => setName(event.target.value)} /></label>
      ${how === "finger" && html`<${Pad} strokes=${strokes} onStroke=${(stroke) => { setWrong(""); setStrokes([...strokes, stroke].slice(-MOST_STROKES)); }} />`}
      ${wrong && html`<p class="text__wrong" role="alert">${wrong}</p>`}
    <//>`;
}

function Pad({ strokes, onStroke }) {
  const now = useRef(null);
  const [drawn, setDrawn] = useState([]);
  const at = (event) => {
    const box = event.currentTarget.getBoundingClientRect();
    return [Math.round(((event.clientX - box.left) / box.width) * WIDTH), Math.round(((event.clientY - box.top) / box.height) * HEIGHT)];
  };
  const down = (event) => { event.currentTarget.setPointerCapture(event.pointerId); now.current = [at(event)]; };
  const move = (event) => { if (now.current) { now.current.push(at(event)); setDrawn([...now.current]); } };
  const up = () => { if (now.current?.length > 1) onStroke(thinned(now.current, 80)); now.current = null; setDrawn([]); };
  const path = (stroke) => stroke.map(([x, y], n) => `${n ? "L" : "M"}${x} ${y}`).join("");
  return html`<svg class="sign-pad" viewBox=${`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label="The line to sign on; typing the name does the same" onPointerDown=${down} onPointerMove=${move} onPointerUp=${up}>
    <line class="sign-pad__line" x1="40" y1="240" x2="960" y2="240" />${[...strokes, drawn].filter((stroke) => stroke.length > 1).map((stroke, n) => html`<path key=${n} class="sign-pad__stroke" d=${path(stroke)} />`)}</svg>`;
}
