//! What of the page the browser keeps for use without a network.

use leptos::task::spawn_local;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

#[wasm_bindgen(raw_module = "./offline.js")]
extern "C" {
    #[wasm_bindgen(js_name = isWhole, catch)]
    async fn is_whole_here() -> Result<JsValue, JsValue>;
    #[wasm_bindgen(js_name = keepWhole, catch)]
    async fn keep_whole_here() -> Result<JsValue, JsValue>;
}

/// Finds out whether all of the page is kept, what computes too.
pub(crate) fn ask_if_whole(then: impl FnOnce(bool) + 'static) {
    spawn_local(async move { then(is_yes(is_whole_here().await)) });
}

/// Has all of the page kept; `then` hears whether it is now.
pub(crate) fn keep_whole(then: impl FnOnce(bool) + 'static) {
    spawn_local(async move { then(is_yes(keep_whole_here().await)) });
}

/// A browser that refuses keeps nothing.
fn is_yes(answer: Result<JsValue, JsValue>) -> bool {
    answer.is_ok_and(|answer| answer.is_truthy())
}
