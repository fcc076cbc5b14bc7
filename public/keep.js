// The browser's storage, and what it refused to keep, outside the program: shut at once when the program fails, so that nothing
// broken is kept, and read without the program, so that what was kept can be handed over.
const LAST = "onepull:last";
const PLAN = "onepull:plan:";

/** What the browser refused to keep; here only as long as the page is open. */
const held = new Map();
let isShut = false;

function storage() {
  try {
    return localStorage;
  } catch {
    // Some browsers forbid the very question.
    return null;
  }
}

/** What the browser itself keeps under a key, whatever is held here. */
export function stored(key) {
  try {
    return storage()?.getItem(key) ?? undefined;
  } catch {
    return undefined;
  }
}

/** What is kept under a key, by the browser or here. */
export function kept(key) {
  return held.get(key) ?? stored(key);
}

/** Keeps a text at once. 0: the browser keeps it; else it is held here: 1, the browser lends no storage; 2, it is full. */
export function keep(key, text) {
  if (isShut) return 1;
  const ours = storage();
  try {
    ours?.setItem(key, text);
  } catch {
    held.set(key, text);
    return 2;
  }
  if (ours) held.delete(key);
  else held.set(key, text);
  return ours ? 0 : 1;
}

/** Forgets what is kept under a key. */
export function forget(key) {
  if (isShut) return;
  held.delete(key);
  try {
    storage()?.removeItem(key);
  } catch {
    // A browser without storage has nothing to remove.
  }
}

/** Lets go of what is held here under a key, for what the browser itself keeps. */
export function letGo(key) {
  if (!isShut) held.delete(key);
}

/** All keys, in no order. */
export function keys() {
  try {
    return [...held.keys(), ...Object.keys(storage() ?? {})];
  } catch {
    return [...held.keys()];
  }
}

/** From now on nothing is kept or forgotten: what the program would write cannot be trusted any more. */
export function shut() {
  isShut = true;
}

/** The plan that was open last, as it was kept last: its name, its saved form, and whether the browser keeps it. */
export function lastPlan() {
  const key = PLAN + kept(LAST);
  const text = kept(key);
  if (!text) return undefined;
  const end = text.indexOf("\n");
  const name = text.slice(text.indexOf(" ") + 1, end);
  return { name, saved: text.slice(end + 1), isStored: !held.has(key) };
}

// What is held here only goes with the page, so the browser asks before it goes.
addEventListener("beforeunload", (event) => {
  if ([...held.keys()].some((key) => key.startsWith(PLAN))) event.preventDefault();
});
