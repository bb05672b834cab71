// The worker and newer versions of the client. A newer version waits until nothing waits to
// be sent; then one reload. A worker that fails to come is told, never fatal.

export async function startWorker(app) {
  if (!("serviceWorker" in navigator)) return;
  try {
    const registered = await navigator.serviceWorker.register("/field/worker.js", {
      scope: "/field/", updateViaCache: "none",
    });
    watch(app, registered);
    // Safari does not look for a newer worker by itself when the app comes back.
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") registered.update().catch(() => {});
    });
  } catch (error) {
    app.workerTrouble = error.message;
  }
}

function watch(app, registered) {
  const offer = (worker) => {
    if (worker && navigator.serviceWorker.controller) app.newer.value = worker;
  };
  offer(registered.waiting);
  registered.addEventListener("updatefound", () => {
    const coming = registered.installing;
    coming?.addEventListener("statechange", () => {
      if (coming.state === "installed") offer(coming);
    });
  });
}

// How much of this person's work still has to be sent, over all visits on this phone.
export async function pending(app) {
  let waits = app.syncer.photosLeft.peek();
  for (const visit of await app.everyVisit()) waits += visit.outbox.waiting().length;
  return waits;
}

export async function takeNewer(app) {
  const worker = app.newer.peek();
  if (!worker) return false;
  if (await pending(app)) {
    app.fail("Send everything first: the update waits until nothing on this phone is unsent.");
    return false;
  }
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  worker.postMessage("take over");
  return true;
}

// {version, files, missing} of the worker that serves this page, or null.
export function workerWhole(within = 3000) {
  const worker = navigator.serviceWorker?.controller;
  if (!worker) return Promise.resolve(null);
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    const timer = setTimeout(() => resolve(null), within);
    channel.port1.onmessage = (event) => {
      clearTimeout(timer);
      resolve(event.data);
    };
    worker.postMessage("whole?", [channel.port2]);
  });
}
