//! A worker beside the page: texts go to it, texts and files come back, and it can be ended at any moment.

use js_sys::{Array, Uint8Array};
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{ErrorEvent, MessageEvent, Worker, WorkerOptions, WorkerType};

/// Beside the page, whatever path that is under.
const SCRIPT: &str = "worker.js";

/// A running worker, and what the page does when it speaks or fails.
#[derive(Debug)]
pub(crate) struct Helper {
    worker: Worker,
    // Kept for as long as the browser may call them.
    _on_message: Closure<dyn Fn(MessageEvent)>,
    _on_error: Closure<dyn Fn(ErrorEvent)>,
}

impl Helper {
    /// Starts a worker; `None` where the browser has none. `hear` gets each text, and the bytes that came beside it.
    pub(crate) fn start(
        hear: impl Fn(String, Option<Vec<u8>>) + 'static,
        fail: impl Fn(String) + 'static,
    ) -> Option<Self> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(SCRIPT, &options).ok()?;
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let (words, bytes) = received(&event);
            hear(words, bytes);
        });
        let on_error = Closure::<dyn Fn(ErrorEvent)>::new(move |event: ErrorEvent| {
            fail(event.message());
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        Some(Self { worker, _on_message: on_message, _on_error: on_error })
    }

    /// Sends a text; false when the browser refuses it.
    pub(crate) fn post(&self, message: &str) -> bool {
        self.worker.post_message(&message.into()).is_ok()
    }

    /// Ends it, whatever it is doing.
    pub(crate) fn end(self) {
        self.worker.terminate();
    }
}

/// The worker sends lists: a text and, for a file, its bytes.
fn received(event: &MessageEvent) -> (String, Option<Vec<u8>>) {
    let list = Array::from(&event.data());
    let bytes = list.get(1).dyn_into::<Uint8Array>().ok().map(|bytes| bytes.to_vec());
    (list.get(0).as_string().unwrap_or_default(), bytes)
}
