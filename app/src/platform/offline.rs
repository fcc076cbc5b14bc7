//! What of the page the browser keeps for use without a network.

use leptos::task::spawn_local;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

#[wasm_bindgen(raw_module = "./offline.js")]
extern "C" {
    #[wasm_bindgen(js_name = howMuchIsKept, catch)]
    async fn how_much_is_kept_here() -> Result<JsValue, JsValue>;
    #[wasm_bindgen(js_name = keepWhole, catch)]
    async fn keep_whole_here() -> Result<JsValue, JsValue>;
}

/// How much of the page is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Copied {
    /// Nothing of it.
    Nothing,
    /// All but what computes.
    Part,
    /// All of it.
    All,
}

/// Finds out how much of the page is kept.
pub(crate) fn ask_what_is_kept(then: impl FnOnce(Copied) + 'static) {
    spawn_local(async move {
        let answer = how_much_is_kept_here().await.ok().and_then(|answer| answer.as_f64());
        then(match answer {
            Some(2.0) => Copied::All,
            Some(1.0) => Copied::Part,
            _ => Copied::Nothing,
        });
    });
}

/// Has all of the page kept; `then` hears whether it is now.
pub(crate) fn keep_whole(then: impl FnOnce(bool) + 'static) {
    spawn_local(async move {
        then(keep_whole_here().await.is_ok_and(|answer| answer.is_truthy()));
    });
}
