//! The Onepull page: shows a plan and turns gestures into edits.

mod board;
mod keys;
mod state;

use engine::plan::sample;
use leptos::prelude::*;
use wasm_bindgen::prelude::wasm_bindgen;

/// Mounts the page into the document's body.
#[wasm_bindgen]
pub fn run_app() {
    leptos::mount::mount_to_body(|| {
        provide_context(state::Store::new(state::Session::new(sample(), state::Origin::Sample)));
        view! { <main><board::Board/></main> }
    });
}

/// Answers one message of the page to its worker; for now with the message itself.
#[wasm_bindgen]
#[must_use]
pub fn handle_message(message: &str) -> String {
    message.to_owned()
}
