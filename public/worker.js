// Runs slow work beside the page: every list that comes in is a job for the engine, every list that goes out its answer
// or, before it, word of progress. A list holds a text and, where the job or the answer is about a file, its bytes; those
// of an answer are handed over and not copied.
//
// One message is no list: `{ module }`, the WebAssembly.Module that the page has compiled for all its workers, or `{ trouble }`
// when there is none. Jobs that come before it wait.
import init, { handle_long_message } from "./works.js";

let start;
const ready = new Promise((resolve) => (start = resolve));

// A failure inside a promise would pass unseen; thrown again it reaches the page as the worker's `error` event.
self.addEventListener("unhandledrejection", (event) => {
  throw event.reason;
});

const post = (list) => self.postMessage(list, list.slice(1).map((bytes) => bytes.buffer));

self.addEventListener("message", async ({ data }) => {
  if (!Array.isArray(data)) {
    start(data.trouble ? Promise.reject(new Error(data.trouble)) : init({ module_or_path: data.module }));
    return;
  }
  await ready;
  const [message, bytes] = data;
  post(handle_long_message(message, bytes, post));
});
