// Has the slow work done: hands a worker the module that it runs, or runs it here where the browser starts no worker.
import { worksModule } from "./modules.js";

export function handModule(worker) {
  worksModule().then(
    (module) => worker.postMessage({ module }),
    (error) => worker.postMessage({ trouble: error.message }),
  );
}

let works;

export async function workHere(message, bytes, post) {
  works ??= import("./works.js").then(async (glue) => {
    await glue.default({ module_or_path: await worksModule() });
    return glue;
  });
  return (await works).handle_long_message(message, bytes, post);
}
