// Answers for the page from a copy of one version of it, so that it works without a network.
//
// `cargo xtask build` fills in the version, made from the contents of every file, and the list of files. A version
// is fetched whole before it is used and never mixed with another: the module and its JavaScript side are a pair.
importScripts("./unlzma.js", "./unpack.js");

const VERSION = "%VERSION%";
const FILES = ["%FILES%"];

const isPacked = (file) => file.endsWith(".packed");
// The server is asked about each file, because the browser's own cache could hand out those of the version before; what came
// with the page a moment ago and is still the same does not travel a second time.
const fresh = (file) => new Request(file, { cache: "no-cache" });

// The caches of an origin are shared by all its folders, so ours are named after our own.
const OURS = `onepull ${self.registration.scope} `;
const CACHE = OURS + VERSION;

self.addEventListener("install", (event) => event.waitUntil(fetchAll()));
self.addEventListener("activate", (event) => event.waitUntil(removeOldVersions()));
self.addEventListener("message", (event) => {
  // The page asks for this once the person has agreed to reload; before that a change would pull the rug away.
  if (event.data === "skip-waiting") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && new URL(request.url).origin === self.location.origin) {
    event.respondWith(answer(request));
  }
});

async function fetchAll() {
  const cache = await caches.open(CACHE);
  try {
    await cache.addAll(FILES.filter((file) => !isPacked(file)).map(fresh));
    await unpackInto(cache);
  } catch (error) {
    // Half a version is none: the one before goes on, alone.
    await caches.delete(CACHE);
    throw error;
  }
}

/** Keeps the modules unpacked, so that a later start need not wait for that and the browser may keep what it compiles. */
async function unpackInto(cache) {
  let known;
  // In the order of the list: the second leans on the first.
  for (const file of FILES.filter(isPacked)) {
    const response = await fetch(fresh(file));
    if (!response.ok) throw new Error(`${file}: ${response.status}`);
    const unpacked = unpack(new Uint8Array(await response.arrayBuffer()), known);
    known = unpacked.known;
    const headers = { "Content-Type": "application/wasm" };
    await cache.put(file.replace(".packed", "_bg.wasm"), new Response(unpacked.module, { headers }));
  }
}

async function removeOldVersions() {
  for (const name of await caches.keys()) {
    if (name.startsWith(OURS) && name !== CACHE) await caches.delete(name);
  }
}

async function answer(request) {
  const cache = await caches.open(CACHE);
  // Every address of the page is the same page; what differs (the query, the fragment) is read inside it.
  const wanted = request.mode === "navigate" ? "./" : request;
  return (await cache.match(wanted)) ?? fetch(request);
}
