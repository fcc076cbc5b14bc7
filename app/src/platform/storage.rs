//! The browser's own storage, by way of `public/keep.js`, which holds what the browser refuses.

use engine::order;
use js_sys::Array;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::StorageEvent;

use super::clock::now;

/// Why something is kept only as long as the page is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub(crate) enum StorageTrouble {
    /// The browser lends no storage, as in some private windows.
    #[error("this browser keeps nothing for this page")]
    Unavailable,
    /// The storage is full.
    #[error("this browser's storage for this page is full")]
    Full,
}

#[wasm_bindgen(raw_module = "./keep.js")]
extern "C" {
    /// What is kept under `key`, by the browser or as long as the page is open.
    #[wasm_bindgen(js_name = kept)]
    pub(super) fn read(key: &str) -> Option<String>;
    /// What the browser keeps under `key`, where another tab sees it.
    #[wasm_bindgen(js_name = stored)]
    pub(super) fn read_shared(key: &str) -> Option<String>;
    #[wasm_bindgen(js_name = keep)]
    fn keep_here(key: &str, text: &str) -> u8;
    /// Forgets what is kept under `key`.
    #[wasm_bindgen(js_name = forget)]
    pub(super) fn remove(key: &str);
    /// Lets go of what the browser refused to keep under `key`.
    #[wasm_bindgen(js_name = letGo)]
    pub(super) fn let_go(key: &str);
    #[wasm_bindgen(js_name = keys)]
    fn all_keys() -> Array;
}

/// Keeps `text` under `key`, at once.
///
/// # Errors
/// Says why the browser does not keep it; then it is held as long as the page is open.
pub(super) fn write(key: &str, text: &str) -> Result<(), StorageTrouble> {
    match keep_here(key, text) {
        0 => Ok(()),
        1 => Err(StorageTrouble::Unavailable),
        _ => Err(StorageTrouble::Full),
    }
}

/// The keys that begin with `prefix`, in order.
pub(super) fn keys(prefix: &str) -> Vec<String> {
    let mut keys: Vec<String> = all_keys().iter().filter_map(|key| key.as_string()).collect();
    keys.retain(|key| key.starts_with(prefix));
    order::by(&mut keys, Ord::cmp);
    keys.dedup();
    keys
}

/// A name that no other tab takes, even in the same moment: the moment, and six figures drawn by lot.
pub(super) fn fresh_name() -> String {
    let lot = format!("{:.6}", js_sys::Math::random());
    format!("{:x}-{}", now().0, lot.trim_start_matches("0."))
}

/// Calls `then` with the key, and with what is kept there, whenever another tab keeps or forgets something, for as long as
/// the page is open.
pub(crate) fn on_other_tab(then: impl Fn(&str, Option<&str>) + 'static) {
    let listener = Closure::<dyn Fn(StorageEvent)>::new(move |event: StorageEvent| {
        then(&event.key().unwrap_or_default(), event.new_value().as_deref());
    });
    if let Some(window) = web_sys::window() {
        // Refused only by a window that is gone.
        let _ = window
            .add_event_listener_with_callback("storage", listener.into_js_value().unchecked_ref());
    }
}
