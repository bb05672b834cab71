/** Photos of a report, large, one after the other; without it a photo leads to the gallery. */

const SELECTOR = "a[data-large]";

function element(name, attributes = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
}

function button(words, deed) {
  const made = element("button", { type: "button" }, words);
  made.addEventListener("click", deed);
  return made;
}

/** One dialog for the whole page, filled anew for each photo. */
class Viewer {
  constructor() {
    this.image = element("img", { alt: "" });
    this.words = element("p", { "aria-live": "polite" });
    this.place = element("span");
    this.back = button("Back", () => this.go(-1));
    this.on = button("Next", () => this.go(1));
    this.dialog = element(
      "dialog",
      { class: "viewer", "aria-label": "Photo, large" },
      element("div", { class: "viewer__bar" }, this.place, button("Close", () => this.dialog.close())),
      this.image,
      element("div", { class: "viewer__foot" }, this.back, this.words, this.on),
    );
    this.dialog.addEventListener("keydown", (event) => this.key(event));
    this.dialog.addEventListener("close", () => this.opener?.focus());
    document.body.append(this.dialog);
  }

  /** Photos in sight, in the order of the page: what is narrowed away is left out. */
  open(link) {
    this.links = [...document.querySelectorAll(SELECTOR)].filter((one) => one.closest("[hidden]") === null);
    this.show(this.links.indexOf(link));
    this.dialog.showModal();
  }

  show(at) {
    const link = this.links[at];
    const small = link.querySelector("img");
    this.at = at;
    this.opener = link;
    this.image.src = link.dataset.large;
    this.image.alt = small.alt;
    this.words.textContent = link.closest("figure").querySelector("figcaption").textContent.replace(/\s+/gu, " ").trim();
    this.place.textContent = `${at + 1} of ${this.links.length}`;
    this.back.disabled = at === 0;
    this.on.disabled = at === this.links.length - 1;
  }

  go(step) {
    const to = this.at + step;
    if (to >= 0 && to < this.links.length) this.show(to);
  }

  key(event) {
    if (event.key === "ArrowLeft") this.go(-1);
    if (event.key === "ArrowRight") this.go(1);
  }
}

let viewer = null;

document.addEventListener("click", (event) => {
  const link = event.target.closest(SELECTOR);
  // A modified click still opens the photo's own address.
  if (link === null || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  viewer ??= new Viewer();
  viewer.open(link);
});
