// Does the slow work in the page itself, for a browser that starts no worker.
let works;

export async function workHere(message, bytes, post) {
  works ??= import("./works.js").then(async (module) => {
    await module.default();
    return module;
  });
  return (await works).handle_long_message(message, bytes, post);
}
