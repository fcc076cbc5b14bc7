// Starts the page: loads the module, mounts the app, then keeps a copy of the page for offline use.
import init, { run_app } from "./onepull.js";
import { showFailure, watchForFailures } from "./failure.js";
import { keepOffline } from "./offline.js";

watchForFailures();
try {
  await init();
  run_app();
} catch (error) {
  console.error(error);
  showFailure(
    "Onepull could not start.",
    "It needs a browser from 2022 or later with WebAssembly. " +
      "Reload the page; if that does not help, add ?nosw to its address to leave out the offline copy. " +
      `The browser says: ${error}.`,
  );
}
await keepOffline();
