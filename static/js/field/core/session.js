// Who is signed in, as far as this phone knows. The last person's work opens without a
// signal; nothing here ever blocks entering or takes anything off the phone.
import { signal } from "./ui.js";
import { NoAnswer, ask } from "./net.js";

export class Session {
  constructor(store) {
    this.store = store;
    this.who = signal(null); // {user, member, name, firm, firm_name, roles}
    this.state = signal("unknown"); // unknown, in, out, no signal, other person
    this.other = signal(null); // somebody else has signed in on this phone
  }

  async open() {
    this.who.value = (await this.store.tx(false, (tx) => tx.get("things", ["who"]))) ?? null;
    return this.who.value;
  }

  // Asks the server. Returns a fresh token for writing, or null.
  async fresh() {
    let answer;
    try {
      answer = await ask("GET", "/api/session");
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      this.state.value = "no signal";
      return null;
    }
    if (answer.status === 401) this.state.value = "out";
    else if (answer.status === 200 && answer.json?.user) {
      const { csrf, ...who } = answer.json;
      this.clockOff = clockOff(answer);
      return (await this.#met(who)) ? csrf : null;
    } else this.state.value = "no signal"; // a captive page answers as well
    return null;
  }

  // Another person's session sends nothing of the person whose work is open here.
  async #met(who) {
    const held = this.who.value;
    if (held && held.user !== who.user) {
      this.other.value = who;
      this.state.value = "other person";
      return false;
    }
    this.other.value = null;
    this.state.value = "in";
    if (JSON.stringify(held) !== JSON.stringify(who)) await this.become(who);
    return true;
  }

  async become(who) {
    await this.store.tx(true, (tx) => tx.put("things", ["who"], who));
    this.who.value = who;
  }

  // {ok} or {words}: what the form shows.
  async signIn(email, password) {
    try {
      const token = await ask("GET", "/api/session/sign-in");
      const answer = await ask("POST", "/api/session/sign-in", {
        body: { email, password }, csrf: token.json?.csrf,
      });
      if (answer.status === 200) return { ok: Boolean(await this.fresh()) };
      return { words: answer.json?.details?.map((one) => one.replace(/^email: /, "")).join(" ")
        || "The server did not take this. Try again in a moment." };
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      return { words: "No signal here. Everything you enter stays on this phone; sign in later." };
    }
  }
}

// Minutes by which this phone's clock is ahead of the server's; only ever a warning.
function clockOff(answer) {
  const told = Date.parse(answer.header("Date") ?? "");
  return Number.isNaN(told) ? null : Math.round((Date.now() - told) / 60000);
}
