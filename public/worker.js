// Runs slow work beside the page: every list that comes in is a job for the engine, every list that goes out its answer
// or, before it, word of progress. A list holds a text and, where the job or the answer is about a file, its bytes; those
// of an answer are handed over and not copied.
//
// The first message may be `{ module }`, the WebAssembly.Module that whoever starts it has compiled already.
import init, { handle_long_message } from "./works.js";

let ready;

// A failure inside a promise would pass unseen; thrown again it reaches the page as the worker's `error` event.
self.addEventListener("unhandledrejection", (event) => {
  throw event.reason;
});

const post = (list) => self.postMessage(list, list.slice(1).map((bytes) => bytes.buffer));

self.addEventListener("message", async ({ data }) => {
  if (!Array.isArray(data)) {
    ready = init({ module_or_path: data.module });
    return;
  }
  ready ??= init();
  await ready;
  const [message, bytes] = data;
  post(handle_long_message(message, bytes, post));
});
