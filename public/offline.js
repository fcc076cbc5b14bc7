// Keeps the page usable without a network, and says when a newer page waits to take over.

let tellRegistered;
/** The registration of the service worker; nothing where there is none. */
const registered = new Promise((resolve) => (tellRegistered = resolve));

/** Registers the service worker, unless `?nosw` asks to remove the offline copy instead. */
export async function keepOffline() {
  const registration = await register();
  tellRegistered(registration);
  if (!registration) return;
  offerWhenWaiting(registration);
  followOtherTabs();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") registration.update().catch(() => {});
  });
  // Who installs the page means to use it anywhere.
  addEventListener("appinstalled", keepWhole);
}

async function register() {
  if (!("serviceWorker" in navigator)) return null;
  if (new URLSearchParams(location.search).has("nosw")) {
    // Where the browser forbids storage there is no copy to remove.
    await removeOfflineCopy().catch(() => {});
    return null;
  }
  // What unpacks a version is of that version, so it too is asked for anew.
  const options = { updateViaCache: "none" };
  // Without a network, or on a server that does not serve the worker, the page works as it is.
  return navigator.serviceWorker.register("./sw.js", options).catch(() => null);
}

/** Whether the offline copy answers for this page, so that this is no first visit. */
export const isAnsweredFor = () => !!navigator.serviceWorker?.controller;

/** How much the offline copy holds: 0, nothing; 1, all but the slow work; 2, all. */
export async function howMuchIsKept() {
  // Some browsers forbid the very question.
  const kept = (file) => globalThis.caches?.match(file).catch(() => undefined);
  if (await kept("./works_bg.wasm")) return 2;
  return (await kept("./onepull_bg.wasm")) ? 1 : 0;
}

/** Has the offline copy hold the slow work too; says whether it does now. */
export async function keepWhole() {
  const active = await started(await registered);
  if (!active) return false;
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => resolve(data);
    active.postMessage("keep-whole", [port2]);
  });
}

/** The service worker once it has its copy; nothing when it could not get it. */
function started(registration) {
  const coming = registration?.active ?? registration?.waiting ?? registration?.installing;
  if (!coming || coming === registration.active) return coming;
  return new Promise((resolve) => {
    coming.addEventListener("statechange", ({ target }) => {
      if (target.state === "activated") resolve(target);
      if (target.state === "redundant") resolve(null);
    });
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
