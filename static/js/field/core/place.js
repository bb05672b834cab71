// Where this person was: the screen, how far down, the field and the record in hand. An app
// that the phone closed, in a call or in the pocket, opens there again.
import { matched } from "./router.js";

const KEY = ["place"];
const HOURS = 6; // longer ago, and it is another visit or another day
const CALM = 800; // ms after the last scroll
const PATIENCE = 3000; // ms for a long screen to be drawn down to where we were
const BOXES = "main input.text__box, main textarea";
const HANDS = ["pointerdown", "wheel", "keydown"];

export class Place {
  constructor(app) {
    this.app = app;
    this.rec = null; // {kind, rec} that the screen has brought into being
    this.left = null; // where we were when the app was closed, until we go elsewhere
  }

  // Reads where we were. Goes there from the app's own front door only; any other address
  // was asked for and stands, but if it is the very one, its record and field come back.
  async begin(path) {
    const held = await this.app.recall(KEY).catch(() => null);
    if (await this.#fits(held, path)) {
      this.left = held;
      if (path === "/") this.app.go(held.path);
    } else this.at(path);
    const soon = () => {
      clearTimeout(this.calming);
      this.calming = setTimeout(() => this.#keep(), CALM);
    };
    addEventListener("scroll", soon, { passive: true });
    addEventListener("focusin", soon);
    addEventListener("pagehide", () => this.#keep());
    document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && this.#keep());
  }

  async #fits(held, path) {
    if (!held?.path || (path !== "/" && path !== held.path)) return false;
    const age = this.app.now() - Date.parse(held.at);
    if (!(age >= 0 && age < HOURS * 3600000) || held.user !== this.app.session.who.peek()?.user) return false;
    const id = matched([{ path: "/v/:visit" }], held.path.split("/").slice(0, 3).join("/"))?.params.visit;
    const visit = id && (await this.app.visit(id));
    return Boolean(visit && !visit.left);
  }

  // A screen was gone to.
  at(path) {
    if (this.left?.path !== path) this.left = null;
    this.rec = null;
    this.#keep({ scroll: this.left?.scroll ?? 0, field: this.left?.field ?? null });
  }

  // A record came into being on this screen and is being filled in.
  hold(kind, rec) {
    this.rec = { kind, rec };
    this.#keep();
  }

  // The record that was in hand here before the app was closed; given once.
  take(visit, kind, preset = {}) {
    const held = this.left?.path === this.app.path.peek() ? this.left.rec : null;
    const record = held?.kind === kind ? visit.rec(held.rec) : null;
    const same = ([name, value]) => JSON.stringify(record[name]) === JSON.stringify(value);
    if (!record || !Object.entries(preset).every(same)) return null;
    this.left.rec = null;
    this.hold(kind, held.rec);
    return held.rec;
  }

  // Scrolls down to where we were as the screen is drawn, until a hand does otherwise.
  settle() {
    const left = this.left;
    if (left?.path !== this.app.path.peek() || left.settled) return false;
    left.settled = true;
    const until = performance.now() + PATIENCE;
    let own = false;
    const byHand = () => (own = true);
    for (const one of HANDS) addEventListener(one, byHand, { once: true, capture: true });
    const step = () => {
      if (own || this.left !== left || performance.now() > until) return;
      const box = left.field && boxOf(left.field);
      if (box && document.activeElement !== box) box.focus({ preventScroll: true });
      if (Math.abs(scrollY - left.scroll) > 1) scrollTo(0, left.scroll);
      setTimeout(step, 50);
    };
    step();
    return true;
  }

  #keep({ scroll = Math.round(scrollY), field = fieldIn() } = {}) {
    const user = this.app.session.who.peek()?.user;
    const rec = this.rec ?? this.left?.rec ?? null;
    const told = { path: this.app.path.peek(), at: this.app.instant(), user, rec, scroll, field };
    this.app.remember(KEY, told).catch(() => {}); // a convenience: never in the way
  }
}

const labelOf = (box) => box.labels?.[0]?.textContent.trim() ?? box.getAttribute("aria-label") ?? "";
const boxes = (label) => [...document.querySelectorAll(BOXES)].filter((box) => labelOf(box) === label);
const boxOf = ({ label, nth }) => boxes(label)[nth];

function fieldIn() {
  const box = document.activeElement;
  if (!box?.matches?.(BOXES)) return null;
  const label = labelOf(box);
  return { label, nth: boxes(label).indexOf(box) };
}
