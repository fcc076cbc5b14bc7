// Gives the page its two modules: from the offline copy, which holds them as they are, or packed from the server.
//
// Both scripts are classic ones and leave their functions in the global scope, for the service worker's sake.
import "./unlzma.js";
import "./unpack.js";
import { isAnsweredFor, keepWhole } from "./offline.js";

/** What the offline copy holds under this name; nothing on a first visit, which it does not answer for. */
async function copied(name) {
  if (!isAnsweredFor()) return null;
  const response = await fetch(`./${name}_bg.wasm`);
  return response.ok ? response : null;
}

const WHAT = { onepull: "the program", works: "what computes" };

async function packed(name) {
  const response = await fetch(`./${name}.packed`).catch(() => {
    throw new Error(`${WHAT[name]} is not on this device yet, and the network did not bring it`);
  });
  if (!response.ok) throw new Error(`${name}.packed did not come: ${response.status}`);
  return new Uint8Array(await response.arrayBuffer());
}

let first;
/** The page's module unpacked, with what the other leans on. */
const unpackedPage = () => (first ??= forgetful(packed("onepull").then((file) => unpack(file)), () => (first = undefined)));

/** The module of the page, to be compiled. */
export async function pageModule() {
  return (await copied("onepull")) ?? (await unpackedPage()).module;
}

let works;
/** The module of the slow work, compiled once for all workers that are started. */
export const worksModule = () => (works ??= forgetful(compiledWorks(), () => (works = undefined)));

/**
 * Whether slow work can begin without asking more of the network than the visit has: on a first visit the module for it comes with
 * the first job, because somebody who only looks needs none.
 */
export const areWorksNear = () => works !== undefined || isAnsweredFor();

async function compiledWorks() {
  const copy = await copied("works");
  if (copy) return WebAssembly.compileStreaming(copy);
  const [file, page] = await Promise.all([packed("works"), unpackedPage()]);
  const module = await WebAssembly.compile(unpack(file, page).module);
  first = undefined;
  // Who has begun to work will do so without a network too.
  keepWhole();
  return module;
}

/** What does not come is asked for again the next time. */
function forgetful(promise, forget) {
  promise.catch(forget);
  return promise;
}
