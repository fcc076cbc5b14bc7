//! The browser's own storage, with memory behind it where the browser refuses.

use std::cell::RefCell;
use std::collections::BTreeMap;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Storage, StorageEvent};

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

thread_local! {
    /// What the browser refused to keep.
    static MEMORY: RefCell<BTreeMap<String, String>> = const { RefCell::new(BTreeMap::new()) };
}

fn storage() -> Option<Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}

/// What is kept under `key`.
pub(super) fn read(key: &str) -> Option<String> {
    let held = MEMORY.with_borrow(|memory| memory.get(key).cloned());
    held.or_else(|| storage()?.get_item(key).ok().flatten())
}

/// Keeps `text` under `key`, at once.
///
/// # Errors
/// Says why the browser does not keep it; then it is held in memory.
pub(super) fn write(key: &str, text: &str) -> Result<(), StorageTrouble> {
    let kept = storage()
        .ok_or(StorageTrouble::Unavailable)
        .and_then(|storage| storage.set_item(key, text).map_err(|_| StorageTrouble::Full));
    MEMORY.with_borrow_mut(|memory| match kept {
        Ok(()) => memory.remove(key),
        Err(_) => memory.insert(key.to_owned(), text.to_owned()),
    });
    kept
}

/// Forgets what is kept under `key`.
pub(super) fn remove(key: &str) {
    MEMORY.with_borrow_mut(|memory| memory.remove(key));
    if let Some(storage) = storage() {
        // Only a browser without storage can refuse, and then there is nothing to remove.
        let _ = storage.remove_item(key);
    }
}

/// The keys that begin with `prefix`, in order.
pub(super) fn keys(prefix: &str) -> Vec<String> {
    let mut keys = MEMORY.with_borrow(|memory| memory.keys().cloned().collect::<Vec<_>>());
    if let Some(storage) = storage() {
        let count = storage.length().unwrap_or(0);
        keys.extend((0..count).filter_map(|at| storage.key(at).ok().flatten()));
    }
    keys.retain(|key| key.starts_with(prefix));
    keys.sort();
    keys.dedup();
    keys
}

/// Calls `then` with the key whenever another tab keeps or forgets something, for as long as the page is open.
pub(crate) fn on_other_tab(then: impl Fn(String) + 'static) {
    let listener = Closure::<dyn Fn(StorageEvent)>::new(move |event: StorageEvent| {
        then(event.key().unwrap_or_default());
    });
    if let Some(window) = web_sys::window() {
        // Refused only by a window that is gone.
        let _ = window
            .add_event_listener_with_callback("storage", listener.into_js_value().unchecked_ref());
    }
}
