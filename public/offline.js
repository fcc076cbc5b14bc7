// Keeps the page usable without a network, and says when a newer page waits to take over.

/** Registers the service worker, unless `?nosw` asks to remove the offline copy instead. */
export async function keepOffline() {
  if (!("serviceWorker" in navigator)) return;
  if (new URLSearchParams(location.search).has("nosw")) {
    // Where the browser forbids storage there is no copy to remove.
    await removeOfflineCopy().catch(() => {});
    return;
  }
  // What unpacks a version is of that version, so it too is asked for anew.
  const options = { updateViaCache: "none" };
  const registration = await navigator.serviceWorker.register("./sw.js", options).catch(() => null);
  // Without a network, or on a server that does not serve the worker, the page works as it is.
  if (registration === null) return;
  offerWhenWaiting(registration);
  followOtherTabs();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") registration.update().catch(() => {});
  });
}

async function removeOfflineCopy() {
  const registration = await navigator.serviceWorker.getRegistration("./");
  await registration?.unregister();
  for (const name of await caches.keys()) {
    if (name.startsWith(`onepull ${new URL("./", location.href).href} `)) await caches.delete(name);
  }
}

function offerWhenWaiting(registration) {
  const look = () => {
    // Without a controller this is the first visit: the new worker is no update and takes over by itself.
    if (registration.waiting && navigator.serviceWorker.controller) offerReload(registration.waiting);
  };
  look();
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", look);
  });
}

/** A new version that was agreed to in another tab answers for this page too, and what it loads later would be of both. */
function followOtherTabs() {
  // On a first visit there was no version before, so there is nothing to mix.
  if (!navigator.serviceWorker.controller) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    document.getElementById("new-version")?.remove();
    offer(() => location.reload());
  });
}

function offerReload(waiting) {
  if (document.getElementById("new-version")) return;
  offer(() => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
    waiting.postMessage("skip-waiting");
  });
}

function offer(press) {
  const button = document.createElement("button");
  button.id = "new-version";
  button.textContent = "A new version is ready: reload";
  button.addEventListener("click", press);
  document.body.append(button);
}
