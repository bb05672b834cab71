// Sending a form without leaving the page; the same address answers a plain submit.

export class NotSent extends Error {
  constructor(message, { status = 0, fields = {} } = {}) {
    super(message);
    this.status = status;
    this.fields = fields;
  }
}

export async function sendForm(form, submitter, { wait = 20000 } = {}) {
  const body = new FormData(form, submitter ?? undefined);
  const address = submitter?.formAction && submitter.hasAttribute("formaction")
    ? submitter.formAction
    : form.action;
  let response;
  try {
    response = await fetch(address, {
      method: "POST",
      body,
      credentials: "same-origin",
      headers: { Accept: "text/html", "X-Requested-With": "fetch" },
      signal: AbortSignal.timeout(wait),
    });
  } catch {
    throw new NotSent("No answer. It is still on the screen; send it again when there is signal.");
  }
  const text = await response.text();
  if (!response.ok) {
    throw new NotSent("It was not taken. Send the form to see why.", { status: response.status });
  }
  return { text, url: response.url, redirected: response.redirected };
}

export function parsed(text) {
  return new DOMParser().parseFromString(text, "text/html");
}
