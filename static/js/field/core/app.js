// The application: what is open, where we are, what is said, and who keeps what in step.
import { signal } from "./ui.js";
import { enterMoves } from "./enter.js";
import { OpenVisit } from "./visit.js";
import { fetchProposals, recallProposals } from "./meaning.js";
import { Packages } from "./packages.js";
import { NoAnswer } from "./net.js";
import { Place } from "./place.js";
import { Room } from "./room.js";
import { Session } from "./session.js";
import { Syncer } from "./syncer.js";
import { Thumbs } from "./thumbs.js";
import { Database, isFull } from "../db.js";
import { Outbox } from "../outbox.js";
import { newId } from "../ids.js";

const ROOT = "/field";
const SETTLE = 300; // a wet screen taps twice: the second tap must not meet the next screen
const UNDO_FOR = 8000;

export class App {
  constructor() {
    this.version = document.querySelector('meta[name="kingpost-version"]')?.content ?? "";
    this.path = signal(here());
    this.said = signal(null); // {text, act?, word?, grave?}
    this.tick = signal(new Date());
    this.prefs = signal(prefs());
    this.blocked = signal(false);
    this.signingIn = signal(false);
    this.newer = signal(null); // a newer version of the client that waits
    this.visits = signal(null); // the day's list
    this.opened = new Map();
    this.opening = new Map();
    this.room = new Room(this);
    this.store = new Database({ onBlocked: () => (this.blocked.value = true), onFull: () => this.room.full() });
    this.session = new Session(this.store);
    this.packages = new Packages(this.store);
    this.thumbs = new Thumbs(this.store);
    this.place = new Place(this);
    this.syncer = new Syncer({
      store: this.store, session: this.session, thumbs: this.thumbs, version: this.version, newId,
      open: () => this.everyVisit(),
      afterSync: (visit) => fetchProposals(this, visit),
    });
    this.shownAt = 0;
    this.newId = newId;
  }

  now = () => new Date();
  instant = () => new Date().toISOString();

  async start() {
    addEventListener("popstate", () => this.#show(here()));
    document.addEventListener("click", (event) => this.#click(event), { capture: true });
    document.addEventListener("keydown", enterMoves);
    setInterval(() => {
      if (document.visibilityState === "visible") this.tick.value = new Date();
    }, 15000);
    const who = await this.session.open();
    if (who) this.visits.value = await this.packages.list(who.user);
    await this.place.begin(here());
    return this;
  }

  #click(event) {
    if (event.isTrusted && event.detail > 0 && performance.now() - this.shownAt < SETTLE) {
      event.preventDefault();
      event.stopPropagation();
      return;
    }
    const link = event.target.closest?.("a[href]");
    const plain = !event.ctrlKey && !event.metaKey && !event.shiftKey && event.button === 0;
    if (!link || !plain || link.target || link.hasAttribute("download")) return;
    const path = link.getAttribute("href");
    if (!path.startsWith(`${ROOT}/`)) return;
    event.preventDefault();
    this.go(path.slice(ROOT.length));
  }

  // Goes to a screen by its address below /field.
  go(path, { replace = false } = {}) {
    const state = { deep: replace ? history.state?.deep ?? 0 : (history.state?.deep ?? 0) + 1 };
    if (replace) history.replaceState(state, "", ROOT + path);
    else history.pushState(state, "", ROOT + path);
    this.#show(path);
  }

  // Back to where we came from; `up` where there is nothing to go back to.
  back(up = "/") {
    if (history.state?.deep > 0) history.back();
    else this.go(up, { replace: true });
  }

  #show(path) {
    this.shownAt = performance.now();
    this.path.value = path;
    this.place.at(path);
  }

  href = (path) => ROOT + path;

  say(text) {
    this.#say({ text });
  }

  fail(text) {
    this.#say({ text, grave: true });
  }

  undo(text, act, word = "Undo") {
    this.#say({ text, act, word });
  }

  #say(what) {
    clearTimeout(this.quiet);
    this.said.value = what;
    if (!what.grave) this.quiet = setTimeout(() => (this.said.value = null), UNDO_FOR);
  }

  // Does what writes; a failure is told and whatever was typed stays on the screen.
  async saving(work) {
    try {
      const made = await work();
      this.room.saved();
      navigator.vibrate?.(12);
      return made;
    } catch (error) {
      if (isFull(error)) this.room.full();
      this.fail(isFull(error)
        ? "Not saved: this phone has no room left. Free some, then enter it again."
        : `Not saved. ${error.message} Try again; nothing on the screen is lost.`);
      return undefined;
    }
  }

  prefer(change) {
    this.prefs.value = { ...this.prefs.value, ...change };
    for (const [name, value] of Object.entries(change)) {
      try {
        localStorage.setItem(`kingpost-${name}`, value);
      } catch {
        // storage may be switched off: then it lasts until the page closes
      }
      if (value === "auto" || value === "right") delete document.documentElement.dataset[name];
      else document.documentElement.dataset[name] = value;
    }
  }

  remember(key, value) {
    return this.store.tx(true, (tx) => tx.put("things", key, value));
  }

  recall(key) {
    return this.store.tx(false, (tx) => tx.get("things", key));
  }

  // Opens a visit from what lies on this phone; null where its package does not. Asked for
  // twice at once it is opened once: two copies would not see each other's entries.
  async visit(id) {
    const key = `${id} ${this.session.who.peek()?.user}`;
    if (this.opened.has(key)) return this.opened.get(key);
    if (!this.opening.has(key)) {
      this.opening.set(key, this.#open(id, key).finally(() => this.opening.delete(key)));
    }
    return this.opening.get(key);
  }

  async #open(id, key) {
    const { user, firm, member } = this.session.who.peek() ?? {};
    if (!user) return null;
    const [pack, book] = [await this.packages.visit(id), await this.packages.book(firm)];
    if (!pack || !book) return null;
    const outbox = await new Outbox({
      store: this.store, visit: id, user, newId, now: this.instant, schema: book.body.schema ?? 1,
    }).open();
    const visit = new OpenVisit({
      book: book.body, pack: pack.body, outbox, store: this.store, newId, now: this.now,
    });
    visit.member = member;
    visit.afterWrite = () => this.syncer.soon();
    await recallProposals(this, visit);
    this.opened.set(key, visit);
    return visit;
  }

  async everyVisit() {
    const found = [];
    for (const row of this.visits.peek() ?? []) {
      const visit = await this.visit(row.id);
      if (visit) found.push(visit);
    }
    return found;
  }

  // Fetches the day's packages where there is a signal; what is open takes the newer one.
  async refresh() {
    if (!(await this.session.fresh())) return null;
    const who = this.session.who.peek();
    try {
      const changed = await this.packages.fetchAll(who);
      for (const visit of this.opened.values()) await this.#renew(visit, who.firm);
      this.visits.value = await this.packages.list(who.user);
      return changed;
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      return null;
    }
  }

  async #renew(visit, firm) {
    const [pack, book] = [await this.packages.visit(visit.id), await this.packages.book(firm)];
    if (pack && book) visit.renew(pack.body, book.body);
  }

  // Another person takes the phone: their own visits, their own device, nothing mixed.
  async change(who) {
    await this.session.become(who);
    this.session.other.value = null;
    this.opened.clear();
    this.go("/", { replace: true });
    this.visits.value = await this.packages.list(who.user);
    await this.refresh();
    return this.syncer.now();
  }
}

function here() {
  const path = location.pathname.slice(ROOT.length);
  return path || "/";
}

function prefs() {
  const read = (name, usual) => {
    try {
      return localStorage.getItem(`kingpost-${name}`) ?? usual;
    } catch {
      return usual;
    }
  };
  return { hand: read("hand", "right"), theme: read("theme", "auto"), line: read("line", "no") };
}
