// Answers for the page from a copy of one version of it, so that it works without a network.
//
// `cargo xtask build` fills in the version, made from the contents of every file, and the list of files. A version
// is fetched before it is used and never mixed with another: the module and its JavaScript side are a pair. Only the module of
// the slow work may come later, once somebody works and does not only look.
importScripts("./unlzma.js", "./unpack.js");

const VERSION = "%VERSION%";
const FILES = ["%FILES%"];

const PAGE = "./onepull";
const WORKS = "./works";
const packed = (module) => `${module}.packed`;
const unpacked = (module) => `${module}_bg.wasm`;
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
  if (event.data === "keep-whole") event.waitUntil(keepWorks().then(tell(event, true), tell(event, false)));
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
    await cache.addAll(FILES.filter((file) => file !== packed(WORKS)).map(fresh));
    await keep(PAGE, await unpackedPage(cache), cache);
    // Who had all of the version before goes on having all.
    if (await caches.match(unpacked(WORKS))) await keepWorks();
  } catch (error) {
    // Half a version is none: the one before goes on, alone.
    await caches.delete(CACHE);
    throw error;
  }
}

/** Keeps a module unpacked, so that a later start need not wait for that and the browser may keep what it compiles. */
async function keep(name, { module }, cache) {
  const headers = { "Content-Type": "application/wasm" };
  await cache.put(unpacked(name), new Response(module, { headers }));
}

const bytesOf = async (response) => new Uint8Array(await response.arrayBuffer());
const unpackedPage = async (cache) => unpack(await bytesOf(await cache.match(packed(PAGE))));

let coming;
/** Keeps the module of the slow work too, which must be of this version. */
const keepWorks = () => (coming ??= fetchWorks().finally(() => (coming = undefined)));

async function fetchWorks() {
  const cache = await caches.open(CACHE);
  if (await cache.match(unpacked(WORKS))) return;
  const response = await fetch(fresh(packed(WORKS)));
  if (!response.ok) throw new Error(`${packed(WORKS)}: ${response.status}`);
  await keep(WORKS, unpack(await bytesOf(response), await unpackedPage(cache)), cache);
  // It was kept for what leans on it.
  await cache.delete(packed(PAGE));
}

const tell = (event, isKept) => () => event.ports[0].postMessage(isKept);

async function removeOldVersions() {
  for (const name of await caches.keys()) {
    if (name.startsWith(OURS) && name !== CACHE) await caches.delete(name);
  }
}

async function answer(request) {
  const cache = await caches.open(CACHE);
  // Every address of the page is the same page; what differs (the query, the fragment) is read inside it.
  const wanted = request.mode === "navigate" ? "./" : request;
  return (await cache.match(wanted)) ?? (isForWorks(request) ? answerWorks(cache) : fetch(request));
}

const isForWorks = ({ url }) => url === new URL(unpacked(WORKS), self.registration.scope).href;

/** The page asks for it by the name that it is kept under, so it comes now. */
async function answerWorks(cache) {
  try {
    await keepWorks();
    return await cache.match(unpacked(WORKS));
  } catch {
    // The page asks for it packed then, and can say what is the matter.
    return new Response(null, { status: 503 });
  }
}
