//! What the bench needs of the browser: the log and the running pull in storage, photos, and a screen that stays on.

use js_sys::Array;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;

use super::files::PickedFile;
use super::photo::check_size;
use super::storage::{self, StorageTrouble};

const PULL: &str = "onepull:pull:";
const RUNNING: &str = "onepull:running-pull";

/// The longer side of a kept photo, in pixels.
const PHOTO_SIDE: f64 = 800.0;

/// The log of pulls of this browser: one stored text each, so that two tabs do not overwrite one another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LogShelf;

impl LogShelf {
    /// The texts of all pulls.
    pub(crate) fn texts(self) -> Vec<String> {
        storage::keys(PULL).iter().filter_map(|key| storage::read(key)).collect()
    }

    /// Keeps a pull, in place of what was kept under its number.
    ///
    /// # Errors
    /// Says why it is kept only as long as the page is open.
    pub(crate) fn write(self, id: u64, text: &str) -> Result<(), StorageTrouble> {
        storage::write(&format!("{PULL}{id}"), text)
    }

    /// Forgets a pull.
    pub(crate) fn remove(self, id: u64) {
        storage::remove(&format!("{PULL}{id}"));
    }

    /// The pull that is going on, as it was stored last.
    pub(crate) fn running(self) -> Option<String> {
        storage::read(RUNNING)
    }

    /// Stores the pull that is going on; at once, since the tab may die in the next moment.
    ///
    /// # Errors
    /// Says why it is kept only as long as the page is open.
    pub(crate) fn set_running(self, text: Option<&str>) -> Result<(), StorageTrouble> {
        match text {
            Some(text) => storage::write(RUNNING, text),
            None => {
                storage::remove(RUNNING);
                Ok(())
            }
        }
    }

    /// Whether a storage key is that of the running pull.
    pub(crate) fn is_running(self, key: &str) -> bool {
        key == RUNNING
    }

    /// Whether a storage key belongs to the log.
    pub(crate) fn is_ours(self, key: &str) -> bool {
        key.starts_with(PULL)
    }
}

#[wasm_bindgen(raw_module = "./bench.js")]
extern "C" {
    #[wasm_bindgen(js_name = keepPhoto, catch)]
    async fn keep_photo_here(id: f64, file: &File, longest: f64) -> Result<JsValue, JsValue>;
    #[wasm_bindgen(js_name = photoAddress, catch)]
    async fn photo_address_here(id: f64) -> Result<JsValue, JsValue>;
    #[wasm_bindgen(js_name = keepOnly, catch)]
    async fn keep_only_here(ids: Array) -> Result<JsValue, JsValue>;
    #[wasm_bindgen(js_name = keepAwake, catch)]
    async fn keep_awake_here() -> Result<JsValue, JsValue>;
    #[wasm_bindgen(js_name = letSleep)]
    pub(crate) fn let_sleep();
}

#[expect(clippy::cast_precision_loss, reason = "numbers of pulls are milliseconds since 1970")]
const fn number(id: u64) -> f64 {
    id as f64
}

/// Keeps a photo in this browser, made small; or says in a sentence why not.
pub(crate) fn keep_photo(
    id: u64,
    file: PickedFile,
    then: impl FnOnce(Result<(), String>) + 'static,
) {
    spawn_local(async move {
        if let Err(words) = check_size(&file).await {
            return then(Err(words));
        }
        let kept = keep_photo_here(number(id), file.file(), PHOTO_SIDE).await;
        let name = file.name();
        then(kept.map(drop).map_err(|_| {
            format!("{name} was not kept: it is no picture that this browser opens, or its storage is full or off.")
        }));
    });
}

/// Finds a kept photo: an address in this page, or nothing when it is not in this browser.
pub(crate) fn find_photo(id: u64, then: impl FnOnce(Option<String>) + 'static) {
    spawn_local(async move {
        let found = photo_address_here(number(id)).await;
        then(found.ok().and_then(|address| address.as_string()));
    });
}

/// Forgets all photos but these; one that stays too long costs room and nothing else, so a refusal is no trouble.
pub(crate) fn keep_photos_only(ids: Vec<u64>) {
    let ids: Array = ids.into_iter().map(|id| JsValue::from(number(id))).collect();
    spawn_local(async move { drop(keep_only_here(ids).await) });
}

/// Keeps the screen on; `then` hears whether the browser does.
pub(crate) fn keep_awake(then: impl FnOnce(bool) + 'static) {
    spawn_local(async move {
        let is_kept = keep_awake_here().await;
        then(is_kept.is_ok_and(|is_kept| is_kept.is_truthy()));
    });
}
