// Starts the page: loads the module, then mounts the app.
import init, { run_app } from "./onepull.js";

await init();
run_app();
