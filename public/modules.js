// Gives the page its two modules: from the offline copy, which holds them as they are, or packed from the server.
//
// Both are classic scripts and leave their functions in the global scope, for the service worker's sake.
import "./unlzma.js";
import "./unpack.js";

/** What the offline copy holds under this name, which only a page that it answers for can ask. */
async function copied(name) {
  if (!navigator.serviceWorker?.controller) return null;
  const response = await fetch(`./${name}_bg.wasm`);
  return response.ok ? response : null;
}

async function packed(name) {
  const response = await fetch(`./${name}.packed`);
  if (!response.ok) throw new Error(`${name}.packed did not come: ${response.status}`);
  return new Uint8Array(await response.arrayBuffer());
}

let first;
/** The page's module unpacked, with what the other leans on. */
const unpackedPage = () => (first ??= forgetful(packed("onepull").then(unpack), () => (first = undefined)));

/** The module of the page, to be compiled. */
export async function pageModule() {
  return (await copied("onepull")) ?? (await unpackedPage()).module;
}

let works;
/** The module of the slow work, compiled once for all workers that are started. */
export const worksModule = () => (works ??= forgetful(compiledWorks(), () => (works = undefined)));

async function compiledWorks() {
  const copy = await copied("works");
  if (copy) return WebAssembly.compileStreaming(copy);
  const [file, { known }] = await Promise.all([packed("works"), unpackedPage()]);
  first = undefined;
  return WebAssembly.compile(unpack(file, known).module);
}

/** What does not come is asked for again the next time. */
function forgetful(promise, forget) {
  promise.catch(forget);
  return promise;
}
