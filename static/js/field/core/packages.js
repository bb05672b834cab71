// What is fetched before leaving: the firm's book and a package for each visit. Asked for
// by digest, so that what has not changed is not sent again.
import { ask } from "./net.js";

const BOOK = "/api/v1/book";
const LIST = "/api/v1/visits";

// What this person still has to do something about on a phone.
export const toWalk = (row) => row.records && !["RELEASED", "ABANDONED"].includes(row.status);

export class Packages {
  constructor(store) {
    this.store = store;
  }

  get(key) {
    return this.store.tx(false, (tx) => tx.get("packages", key));
  }

  // {body, etag, at} of the firm's book as it lies on the phone.
  book(firm) {
    return this.get(["book", firm]);
  }

  visit(id) {
    return this.get(["visit", id]);
  }

  async list(user) {
    return (await this.get(["list", user]))?.body ?? [];
  }

  // Fetches the list, the book and every visit's package. Returns how many visits are new
  // or changed; throws NoAnswer where there is no signal.
  async fetchAll({ user, firm }) {
    const answer = await ask("GET", LIST);
    if (answer.status !== 200 || !Array.isArray(answer.json)) return null;
    await this.#put(["list", user], answer.json, "");
    await this.#fetch(["book", firm], BOOK);
    let changed = 0;
    for (const row of answer.json.filter(toWalk)) {
      if (await this.fetchVisit(row.id)) changed += 1;
    }
    return changed;
  }

  fetchVisit(id) {
    return this.#fetch(["visit", id], `/api/v1/visits/${id}/package`);
  }

  async #fetch(key, path) {
    const held = await this.get(key);
    const headers = held?.etag ? { "If-None-Match": held.etag } : {};
    const answer = await ask("GET", path, { headers, limit: 60000 });
    if (answer.status === 304 && held) {
      await this.#put(key, held.body, held.etag);
      return false;
    }
    if (answer.status !== 200 || !answer.json) return false;
    await this.#put(key, answer.json, answer.header("ETag") ?? "");
    return true;
  }

  #put(key, body, etag) {
    const row = { body, etag, at: new Date().toISOString() };
    return this.store.tx(true, (tx) => tx.put("packages", key, row));
  }
}
