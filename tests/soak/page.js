// What a page is asked step by step, by its own events, as fast as it follows. Run before anything of the page.
//
// A burst of nudges ends half a second after the last of them. So that this does not hang on how busy the machine is, timers of
// half a second wait until the hands are told to rest.
const HALF_A_SECOND = 500;
const waiting = new Map();
const ownSet = setTimeout.bind(globalThis);
const ownClear = clearTimeout.bind(globalThis);
let last = 1 << 30;
globalThis.setTimeout = (call, after, ...rest) => {
  if (after !== HALF_A_SECOND) return ownSet(call, after, ...rest);
  waiting.set(++last, () => call(...rest));
  return last;
};
globalThis.clearTimeout = (number) => {
  if (!waiting.delete(number)) ownClear(number);
};

const channel = new MessageChannel();
const settled = () =>
  new Promise((done) => {
    channel.port1.onmessage = done;
    channel.port2.postMessage(0);
  });

const labelled = (label) =>
  [...document.querySelectorAll(".head label, .panel label")].find((one) => one.textContent.trim() === label)?.control;

const deeds = {
  key(key, held) {
    const [shiftKey, altKey, ctrlKey] = [..."SAC"].map((letter) => held.includes(letter));
    const code = { "[": "BracketLeft", "]": "BracketRight" }[key] ?? "";
    const event = { key, code, shiftKey, altKey, ctrlKey, bubbles: true, cancelable: true };
    document.getElementById("board-drawing").dispatchEvent(new KeyboardEvent("keydown", event));
    return true;
  },
  press(label) {
    const all = [...document.querySelectorAll(".head button, .panel button")];
    const button = all.find((one) => one.textContent.trim() === label);
    button?.click();
    return !!button;
  },
  tick(id) {
    document.getElementById(id)?.click();
    return !!document.getElementById(id);
  },
  choose(label, at) {
    const list = labelled(label);
    if (!list?.options[at]) return false;
    list.selectedIndex = at;
    list.dispatchEvent(new Event("change", { bubbles: true }));
    return true;
  },
  async type(label, text) {
    const field = labelled(label);
    if (!field) return false;
    field.value = text;
    field.dispatchEvent(new InputEvent("input", { bubbles: true }));
    const press = (key) => field.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
    press("Enter");
    await settled();
    // What is refused stays to be mended; this hand gives it up.
    if (field.getAttribute("aria-invalid")) press("Escape");
    return true;
  },
  rest() {
    for (const [number, call] of [...waiting]) if (waiting.delete(number)) call();
    return true;
  },
};

/** Does the steps; gives back those that found nothing to press or fill in. */
globalThis.onepullSoak = async (asks) => {
  const missing = [];
  for (const [at, [kind, ...rest]] of asks.entries()) {
    localStorage.setItem("soak-step", at);
    if (!(await deeds[kind](...rest))) missing.push([at, kind, ...rest]);
    await settled();
  }
  return missing;
};

/** What the page shows of its state. */
globalThis.onepullShown = () => {
  const text = localStorage.getItem("onepull:plan:" + localStorage.getItem("onepull:last"));
  const greyed = (label) =>
    [...document.querySelectorAll(".head button")]
      .find((one) => one.textContent.trim() === label)
      .getAttribute("aria-disabled") === "true";
  return {
    plan: text?.slice(text.indexOf("\n") + 1),
    selection: [...document.querySelectorAll(".standing input:checked")].map(({ id }) => Number(id.slice(9))),
    undo: !greyed("Undo"),
    redo: !greyed("Redo"),
  };
};
