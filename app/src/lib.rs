//! The Onepull page: shows a plan and turns gestures into edits.

use leptos::prelude::*;
use wasm_bindgen::prelude::wasm_bindgen;

/// Mounts the page into the document's body.
#[wasm_bindgen]
pub fn run_app() {
    mount_to_body(|| view! { <main>"Onepull"</main> });
}

/// Answers one message of the page to its worker; for now with the message itself.
#[wasm_bindgen]
#[must_use]
pub fn handle_message(message: &str) -> String {
    message.to_owned()
}
