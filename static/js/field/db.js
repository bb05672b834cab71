// The device's storage over IndexedDB: strict, reopened when the browser drops it, and
// loud when a write does not end. Every write is keyed by its own id, so a retry is safe.
import { openDB } from "../../vendor/idb-8.0.4/idb.js";

export const STORES = ["own", "mirror", "meta", "bytes", "photos", "thumbs", "packages", "things"];
const VERSION = 2; // 2: thumbnails, packages, and what belongs to no visit
const OPEN_WITHIN = 8000;
const DONE_WITHIN = 10000;
const DROPPED = new Set(["InvalidStateError", "UnknownError"]);

export const isFull = (error) => error?.name === "QuotaExceededError";

export class NotSaved extends Error {}

export class Database {
  constructor({ name = "kingpost", onBlocked = () => {}, onFull = () => {} } = {}) {
    Object.assign(this, { name, onBlocked, onFull });
    this.db = null;
  }

  // One transaction; resolves once the browser says that it is on disk.
  async tx(write, work) {
    try {
      return await this.#once(write, work);
    } catch (error) {
      if (isFull(error)) this.onFull();
      if (!DROPPED.has(error?.name)) throw error;
      this.#drop();
      return this.#once(write, work);
    }
  }

  async #once(write, work) {
    const db = await this.#opened();
    const mode = write ? "readwrite" : "readonly";
    const tx = db.transaction(STORES, mode, { durability: "strict" });
    const done = limited(tx.done, DONE_WITHIN, "The phone did not finish saving.");
    done.catch(() => {}); // told below; an abort is not left without an owner
    let result;
    try {
      result = await work(face(tx));
    } catch (error) {
      abort(tx);
      throw error;
    }
    await done;
    return result;
  }

  async #opened() {
    if (this.db) return this.db;
    const opening = openDB(this.name, VERSION, {
      upgrade(db) {
        for (const store of STORES) {
          if (!db.objectStoreNames.contains(store)) db.createObjectStore(store);
        }
      },
      blocked: () => this.onBlocked(),
      blocking: () => this.#drop(), // another tab brings a newer form: make way
      terminated: () => (this.db = null),
    });
    this.db = await limited(opening, OPEN_WITHIN, "The phone's storage did not open.");
    return this.db;
  }

  #drop() {
    const old = this.db;
    this.db = null;
    try {
      old?.close();
    } catch {
      // gone already
    }
  }
}

// What outbox.js asks of a transaction. Keys are arrays; a prefix stands for all under it.
function face(tx) {
  const under = (prefix) => IDBKeyRange.bound(prefix, [...prefix, []]);
  return {
    get: (name, key) => tx.objectStore(name).get(key),
    all: (name, prefix) => tx.objectStore(name).getAll(under(prefix)),
    put: (name, key, value) => void tx.objectStore(name).put(value, key),
    clear: (name, prefix) => tx.objectStore(name).delete(under(prefix)),
  };
}

function abort(tx) {
  try {
    tx.abort();
  } catch {
    // it has ended already
  }
}

function limited(promise, within, words) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new NotSaved(words)), within);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
