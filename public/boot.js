// Starts the page: loads the module, mounts the app, then keeps a copy of the page for offline use.
import init, { run_app } from "./onepull.js";
import { showFailure, watchForFailures } from "./failure.js";
import { pageModule } from "./modules.js";
import { keepOffline } from "./offline.js";

// Some browsers break off what is on its way once somebody leaves the page, which is no failure to tell of.
let isLeft = false;
const leave = () => {
  isLeft = true;
};
addEventListener("beforeunload", leave);

watchForFailures();
const coming = document.querySelector(".coming");
try {
  await init({ module_or_path: await pageModule() });
  coming.remove();
  run_app();
} catch (error) {
  coming.remove();
  if (!isLeft) tell(error);
} finally {
  removeEventListener("beforeunload", leave);
}
if (!isLeft) await keepOffline();

function tell(error) {
  console.error(error);
  showFailure(
    "Onepull could not start.",
    "It needs a browser from 2022 or later with WebAssembly. " +
      "Reload the page; if that does not help, add ?nosw to its address to leave out the offline copy. " +
      `The browser says: ${error}.`,
  );
}
