// The worker keeps one version of the client's files, whole or not at all, and gives them
// without a signal. It holds no data, sends nothing and never touches /api/ or sign-in.
// SHELL = {version, files} stands before this text (inspections/views/field_client.py).
const NAME = `kingpost-field-${SHELL.version}`;
const PAGE = "/field/";
const KEPT = new Set(SHELL.files);

async function keepWhole() {
  const cache = await caches.open(NAME);
  try {
    // Past the browser's own cache: an older file there would make a mixed version.
    await cache.addAll([PAGE, ...SHELL.files].map((name) => new Request(name, { cache: "reload" })));
  } catch (error) {
    await caches.delete(NAME);
    throw error;
  }
}

async function dropOld() {
  for (const name of await caches.keys()) {
    if (name.startsWith("kingpost-field-") && name !== NAME) await caches.delete(name);
  }
  await self.clients.claim();
}

async function whole() {
  const cache = await caches.open(NAME);
  const held = new Set((await cache.keys()).map((request) => new URL(request.url).pathname));
  return { version: SHELL.version, files: SHELL.files.length, missing: [PAGE, ...SHELL.files].filter((name) => !held.has(name)).length };
}

self.addEventListener("install", (event) => event.waitUntil(keepWhole()));
self.addEventListener("activate", (event) => event.waitUntil(dropOld()));

// A page asks for the newer version only when nothing is waiting to be sent.
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
  if (event.data === "whole?") event.waitUntil(whole().then((said) => event.ports[0].postMessage(said)));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  const page = request.mode === "navigate" && url.pathname.startsWith(PAGE);
  if (!page && !KEPT.has(url.pathname)) return;
  event.respondWith(given(page ? PAGE : url.pathname, request));
});

async function given(name, request) {
  const cache = await caches.open(NAME);
  return (await cache.match(name, { ignoreVary: true })) ?? fetch(request);
}
