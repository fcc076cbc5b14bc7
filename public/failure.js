// What stands in the page when the program has failed: words, a way to go on, and the plan as a file; none of it needs the program.
import { lastPlan, shut } from "./keep.js";

let isShown = false;

/** Whether an error comes from the program: it broke off, or something threw through it, and it may not be called again. */
function isOfProgram(error) {
  return error instanceof WebAssembly.RuntimeError || /wasm-function|onepull_bg\.wasm/.test(error?.stack ?? "");
}

/** Watches for failures of the program for as long as the page is open. */
export function watchForFailures() {
  addEventListener("error", ({ error }) => {
    if (isOfProgram(error)) showFailure();
  });
  addEventListener("unhandledrejection", ({ reason }) => {
    if (isOfProgram(reason)) showFailure();
  });
}

/** Says that the program has failed; the page behind it stands still and keeps nothing any more. */
export function showFailure(
  words = "Onepull has failed and cannot go on.",
  hint = "If it fails again after a reload, what the browser's console says helps to mend it.",
) {
  if (isShown) return;
  isShown = true;
  shut();
  stopTimers();
  document.querySelector(".page")?.setAttribute("inert", "");
  const box = document.createElement("section");
  box.className = "failure";
  const plan = lastPlan();
  const message = document.createElement("p");
  message.setAttribute("role", "alert");
  message.textContent = `${words} ${fate(plan)} ${hint}`;
  box.append(message, button("Reload the page", () => location.reload()));
  if (plan) box.append(button("Save the plan as a file", () => download(plan)));
  document.body.prepend(box);
}

function fate(plan) {
  if (!plan) return "No plan of yours is kept in this browser.";
  const name = `Your plan ${plan.name}`;
  return plan.isStored
    ? `${name} is kept in this browser up to the last change.`
    : `${name} is not kept by this browser: save it as a file before you reload.`;
}

/** Timers of the program would call it again. */
function stopTimers() {
  // Their numbers rise from one to the next, and those of intervals are among them.
  for (let number = setTimeout(() => {}); number > 0; number--) clearTimeout(number);
}

function button(label, press) {
  const element = document.createElement("button");
  element.type = "button";
  element.className = "button";
  element.textContent = label;
  element.addEventListener("click", press);
  return element;
}

function download({ name, saved }) {
  const link = document.createElement("a");
  link.download = `${name}.onepull.json`;
  link.href = URL.createObjectURL(new Blob([saved], { type: "application/json" }));
  link.click();
}
