//! A worker beside the page: texts go to it, texts come back, and it can be ended at any moment.

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
    /// Starts a worker; `None` where the browser has none.
    pub(crate) fn start(
        hear: impl Fn(String) + 'static,
        fail: impl Fn(String) + 'static,
    ) -> Option<Self> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(SCRIPT, &options).ok()?;
        let on_message = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            // The worker sends nothing but texts.
            hear(event.data().as_string().unwrap_or_default());
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
