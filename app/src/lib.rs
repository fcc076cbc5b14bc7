//! The Onepull page: shows a plan and turns gestures into edits.

#![expect(
    unreachable_pub,
    reason = "leptos puts a public twin beside every component, whatever the component's own visibility"
)]

mod board;
mod jobs;
mod keys;
mod page;
mod panels;
mod platform;
mod reactive;
mod state;
mod widgets;

use leptos::mount::mount_to_body;
use wasm_bindgen::prelude::wasm_bindgen;

/// Mounts the page into the document's body.
#[wasm_bindgen]
pub fn run_app() {
    mount_to_body(page::Page);
}
