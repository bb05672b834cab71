// The way from a device to the server, and everything that goes wrong on it.

export class Broken extends Error {}

// Each kind with how often it is drawn; the harness counts those that happened.
export const KINDS = {
  request_lost: 5, answer_lost: 8, doubled: 5, replayed: 4, captive: 5, signed_out: 2,
  bad_gateway: 4, cut_upload: 4, spoiled_piece: 4, stalled: 3,
};

export class Network {
  constructor({ base, cookie, chance, rate, counts }) {
    Object.assign(this, { base, cookie, chance, rate, counts });
    this.csrf = "";
    this.old = [];
    this.on = true;
  }

  // JSON in and out, for the log.
  json = async (method, path, body) => {
    const text = body === undefined ? undefined : JSON.stringify(body);
    const headers = text ? { "Content-Type": "application/json" } : {};
    const answer = await this.#ask(method, path, { headers, body: text });
    return { status: answer.status, json: parsed(answer.text) };
  };

  // Headers and bytes, for photos.
  bytes = async (method, path, { headers = {}, bytes } = {}) => {
    const answer = await this.#ask(method, path, { headers, body: bytes });
    return { status: answer.status, header: (name) => answer.headers.get(name) };
  };

  async #ask(method, path, { headers, body }) {
    if (!this.csrf) await this.#session();
    const kind = this.on && this.chance() < this.rate ? this.#draw(method, body) : null;
    if (kind) this.counts[kind] = (this.counts[kind] ?? 0) + 1;
    const send = () => this.#send(method, path, headers, body);
    if (kind === "request_lost") throw new Broken(kind);
    if (kind === "captive") return page(200, "<html>Welcome to the lobby</html>");
    if (kind === "bad_gateway") return page(502, "<html>Bad gateway</html>");
    if (kind === "signed_out") return page(401, '{"code":"not-signed-in","message":""}');
    if (kind === "cut_upload") return this.#cut(method, path, headers, body);
    if (kind === "spoiled_piece") return this.#send(method, path, headers, spoiled(body));
    if (kind === "replayed" && this.old.length) await this.#replay();
    if (kind === "doubled") await send();
    if (kind === "stalled") await new Promise((done) => setTimeout(done, 40));
    const answer = await send();
    if (kind === "answer_lost") throw new Broken(kind);
    if (answer.status === 403) this.csrf = "";
    return answer;
  }

  #draw(method, body) {
    const photo = body instanceof ArrayBuffer;
    const fits = Object.entries(KINDS).filter(
      ([kind]) => photo || (kind !== "cut_upload" && kind !== "spoiled_piece"),
    );
    let left = this.chance() * fits.reduce((sum, [, weight]) => sum + weight, 0);
    return fits.find(([, weight]) => (left -= weight) < 0)[0];
  }

  async #session() {
    const answer = await this.#send("GET", "/api/session", {}, undefined);
    this.csrf = parsed(answer.text)?.csrf ?? "";
    if (!this.csrf) throw new Broken(`no session: ${answer.status}`);
  }

  // An old request comes again, as some middle box sent it twice, long after.
  async #replay() {
    const [method, path, headers, body] = this.old[Math.floor(this.chance() * this.old.length)];
    await this.#send(method, path, headers, body);
  }

  async #cut(method, path, headers, body) {
    const stop = new AbortController();
    const sent = this.#send(method, path, headers, body, stop.signal);
    setTimeout(() => stop.abort(), this.chance() * 4);
    try {
      await sent;
    } catch {
      // cut somewhere on the way, or only the answer was
    }
    throw new Broken("cut");
  }

  async #send(method, path, headers, body, signal) {
    if (method === "POST" && typeof body === "string") {
      this.old.push([method, path, headers, body]);
      if (this.old.length > 200) this.old.splice(0, 100);
    }
    let response;
    try {
      response = await fetch(this.base + path, {
        method, body, redirect: "error", signal: signal ?? AbortSignal.timeout(15000),
        headers: {
          ...headers, Cookie: `${this.cookie}; csrf=${this.csrf}`,
          "X-CSRFToken": this.csrf, Origin: this.base, Referer: `${this.base}/`,
        },
      });
      return { status: response.status, headers: response.headers, text: await response.text() };
    } catch (error) {
      throw new Broken(String(error?.cause?.code ?? error));
    }
  }
}

function spoiled(body) {
  const other = new Uint8Array(body.slice(0));
  other[Math.floor(other.length / 2)] ^= 255;
  return other.buffer;
}

function page(status, text) {
  return { status, headers: new Headers(), text };
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
