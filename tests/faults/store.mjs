// A device's storage for the harness: what a transaction committed stays, whatever dies.

export class Killed extends Error {}

const clone = (value) => (value instanceof ArrayBuffer ? value : structuredClone(value));
const named = (key) => JSON.stringify(key);

export class Store {
  constructor() {
    this.disk = new Map();
    this.turn = Promise.resolve();
    this.dies = () => false; // "before" or "after" a commit
  }

  // One transaction at a time, as IndexedDB has it; all of it or nothing.
  tx(write, work) {
    const mine = this.turn.then(() => this.#once(write, work));
    this.turn = mine.catch(() => {});
    return mine;
  }

  async #once(write, work) {
    const changed = new Map();
    const full = (name, key) => `${name} ${named(key)}`;
    const read = (at) => (changed.has(at) ? changed.get(at) : this.disk.get(at));
    const result = await work({
      get: async (name, key) => clone(read(full(name, key))?.value),
      all: async (name, prefix) => this.#all(changed, name, prefix),
      put: (name, key, value) => changed.set(full(name, key), { name, key, value: clone(value) }),
      clear: async (name, prefix) => {
        for (const [at, row] of this.disk) if (belongs(row, name, prefix)) changed.set(at, null);
      },
    });
    if (!write) return result;
    if (this.dies("before")) throw new Killed("before a commit");
    for (const [at, row] of changed) row ? this.disk.set(at, row) : this.disk.delete(at);
    if (this.dies("after")) throw new Killed("after a commit");
    return result;
  }

  #all(changed, name, prefix) {
    const rows = new Map(this.disk);
    for (const [at, row] of changed) row ? rows.set(at, row) : rows.delete(at);
    return [...rows.values()].filter((row) => belongs(row, name, prefix)).map((row) => clone(row.value));
  }

  copy() {
    return new Map(this.disk);
  }
}

function belongs(row, name, prefix) {
  return row.name === name && prefix.every((part, at) => row.key[at] === part);
}
