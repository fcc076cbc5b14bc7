//! A worker beside the page: texts and files go to it and come back, and it can be ended at any moment.

use js_sys::{Array, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::spawn_local;
use web_sys::{ErrorEvent, MessageEvent, Worker, WorkerOptions, WorkerType};

/// Beside the page, whatever path that is under.
const SCRIPT: &str = "worker.js";

/// The bytes of a file or a picture, held by the browser; cheap to clone.
#[derive(Clone, Debug)]
pub(crate) struct Bytes(pub(super) Uint8Array);

impl Bytes {
    /// A copy of these bytes.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        Self(Uint8Array::from(bytes))
    }
}

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
            let (words, bytes) = received(&event.data());
            hear(words, bytes);
        });
        let on_error = Closure::<dyn Fn(ErrorEvent)>::new(move |event: ErrorEvent| {
            fail(said(&event.message()).to_owned());
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        hand_module(&worker);
        Some(Self { worker, _on_message: on_message, _on_error: on_error })
    }

    /// Sends a text, and bytes beside it; false when the browser refuses it.
    pub(crate) fn post(&self, message: &str, bytes: Option<&Bytes>) -> bool {
        let list = Array::of1(&message.into());
        if let Some(Bytes(bytes)) = bytes {
            list.push(bytes);
        }
        self.worker.post_message(&list).is_ok()
    }

    /// Ends it, whatever it is doing.
    pub(crate) fn end(self) {
        self.worker.terminate();
    }
}

#[wasm_bindgen(raw_module = "./modules.js")]
extern "C" {
    /// Whether slow work can begin without loading what a first visit does not need.
    #[wasm_bindgen(js_name = areWorksNear)]
    pub(crate) fn are_works_near() -> bool;
}

#[wasm_bindgen(raw_module = "./beside.js")]
extern "C" {
    #[wasm_bindgen(js_name = handModule)]
    fn hand_module(worker: &Worker);

    #[wasm_bindgen(js_name = workHere, catch)]
    async fn do_here(
        message: &str,
        bytes: Option<Uint8Array>,
        post: &Closure<dyn Fn(JsValue)>,
    ) -> Result<JsValue, JsValue>;
}

/// Does in the page what a worker would, for a browser that starts none; `hear` and `fail` as of [`Helper::start`].
///
/// The module of the slow work is loaded for it. Nothing is told before this returns.
pub(crate) fn work_here(
    message: String,
    bytes: Option<Bytes>,
    hear: impl Fn(String, Option<Vec<u8>>) + Clone + 'static,
    fail: impl Fn(String) + 'static,
) {
    spawn_local(async move {
        let progress = hear.clone();
        let post = Closure::<dyn Fn(JsValue)>::new(move |list: JsValue| {
            let (words, bytes) = received(&list);
            progress(words, bytes);
        });
        match do_here(&message, bytes.map(|bytes| bytes.0), &post).await {
            Ok(list) => {
                let (words, bytes) = received(&list);
                hear(words, bytes);
            }
            Err(trouble) => fail(words_of(&trouble)),
        }
    });
}

/// What was thrown, in words.
fn words_of(trouble: &JsValue) -> String {
    let error = trouble.dyn_ref::<js_sys::Error>();
    error.map_or_else(|| format!("{trouble:?}"), |error| error.message().into())
}

/// What an error says, without what the browser puts before it.
fn said(message: &str) -> &str {
    let message = message.strip_prefix("Uncaught ").unwrap_or(message);
    message.strip_prefix("Error: ").unwrap_or(message)
}

/// What comes is a list: a text and, for a file, its bytes.
fn received(data: &JsValue) -> (String, Option<Vec<u8>>) {
    let list = Array::from(data);
    let bytes = list.get(1).dyn_into::<Uint8Array>().ok().map(|bytes| bytes.to_vec());
    (list.get(0).as_string().unwrap_or_default(), bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_is_told_in_its_own_words() {
        for message in ["Uncaught Error: no network", "Error: no network", "no network"] {
            assert_eq!(said(message), "no network");
        }
    }
}
