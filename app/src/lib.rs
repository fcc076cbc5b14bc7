//! The Onepull page: shows a plan and turns gestures into edits.

pub mod jobs;

use leptos::prelude::*;
use wasm_bindgen::prelude::wasm_bindgen;

/// Mounts the page into the document's body.
#[wasm_bindgen]
pub fn run_app() {
    leptos::mount::mount_to_body(|| view! { <main>"Onepull"</main> });
}

/// Answers one message, in the worker or in the page; see [`jobs`].
#[wasm_bindgen]
#[must_use]
pub fn handle_message(message: &str) -> String {
    jobs::answer(message)
}
