// Pictures of a stop or of one record, small; each leads to its own screen.
import { html, useEffect, useState } from "../core/ui.js";
import { wordOf } from "../core/words.js";
import { GalleryKey } from "./photo_keys.js";

export function PhotoStrip({ app, visit, stop = null, about = null }) {
  visit.calm.value;
  const photos = about ? visit.of("photo", { about }) : visit.at(stop, "photo");
  return html`
    <section class="part" aria-label="Pictures">
      ${photos.length > 0 && html`<h2 class="part__title">Pictures</h2><${Thumbs} app=${app} visit=${visit} photos=${photos} />`}
      ${stop && html`<div><${GalleryKey} app=${app} visit=${visit} stop=${stop} about=${about} /></div>`}
    </section>`;
}

export function Thumbs({ app, visit, photos, onPick = null, picked = null }) {
  return html`<ul class="thumbs">${photos.map(([id, photo]) => html`
    <li key=${id}><${Thumb} app=${app} visit=${visit} id=${id} photo=${photo} onPick=${onPick} picked=${picked === id} /></li>`)}</ul>`;
}

export function Thumb({ app, visit, id, photo, onPick, picked }) {
  const [url, setUrl] = useState(null);
  const made = app.thumbs.made.value;
  useEffect(() => {
    let now = true;
    if (!url) app.thumbs.url(visit, id).then((found) => now && setUrl(found));
    return () => (now = false);
  }, [id, made]);
  const words = photo.caption || `${wordOf(visit.book, photo.use ?? "general_view")}, ${visit.rec(photo.stop)?.name ?? "no stop"}`;
  const inside = url ? html`<img src=${url} alt=${words} width="96" height="72" />` : html`<span class="thumbs__none">${words}</span>`;
  return onPick
    ? html`<button type="button" class="thumbs__one" aria-pressed=${String(picked)} onClick=${() => onPick(id)}>${inside}</button>`
    : html`<a class="thumbs__one" href=${app.href(`/v/${visit.id}/photo/${id}`)}>${inside}</a>`;
}
