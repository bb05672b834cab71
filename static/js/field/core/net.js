// Every request of the client. An answer that is not the server's own counts as none.
const LIMIT = 30000;

export class NoAnswer extends Error {}

// {status, json, header}; json is null for anything that is not JSON.
export async function ask(method, path, { body, bytes, headers = {}, csrf, limit = LIMIT } = {}) {
  const given = { Accept: "application/json", ...headers };
  if (csrf) given["X-CSRFToken"] = csrf;
  if (body !== undefined) given["Content-Type"] = "application/json";
  let answer;
  try {
    answer = await fetch(path, {
      method, headers: given, redirect: "error", credentials: "same-origin", cache: "no-store",
      body: bytes ?? (body === undefined ? undefined : JSON.stringify(body)),
      signal: AbortSignal.timeout(limit),
    });
  } catch (error) {
    throw new NoAnswer(error.message);
  }
  const json = isJson(answer) ? await answer.json().catch(() => null) : null;
  return { status: answer.status, json, header: (name) => answer.headers.get(name) };
}

const isJson = (answer) => /^application\/json\b/.test(answer.headers.get("content-type") ?? "");

export async function sha256(given) {
  const bytes = typeof given === "string" ? new TextEncoder().encode(given) : given;
  return crypto.subtle.digest("SHA-256", bytes);
}

export async function sha256Hex(given) {
  const made = new Uint8Array(await sha256(given));
  return [...made].map((one) => one.toString(16).padStart(2, "0")).join("");
}
