//! The Onepull page: shows a plan and turns gestures into edits.

#![expect(
    unreachable_pub,
    reason = "leptos puts a public twin beside every component, whatever the component's own visibility"
)]

mod board;
pub mod jobs;
mod keys;
mod page;
mod panels;
mod platform;
mod state;
mod widgets;

use js_sys::{Array, Uint8Array};
use leptos::mount::mount_to_body;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

/// Mounts the page into the document's body.
#[wasm_bindgen]
pub fn run_app() {
    mount_to_body(page::Page);
}

/// Answers one message, in the worker or in the page; see [`jobs`].
///
/// A list: the reply as a text and, where the reply is a file, its bytes.
#[wasm_bindgen]
#[must_use]
pub fn handle_message(message: &str) -> Array {
    listed(jobs::answer(message))
}

/// As [`handle_message`]; `post` is called with word of progress before the answer is given back.
#[wasm_bindgen]
#[must_use]
pub fn handle_long_message(message: &str, post: &js_sys::Function) -> Array {
    listed(jobs::work(message, &mut |progress| {
        // Progress that cannot be told is no reason to give the work up.
        let _ = post.call1(&JsValue::NULL, &listed(progress));
    }))
}

fn listed(parcel: jobs::Parcel) -> Array {
    let list = Array::of1(&parcel.words.into());
    if let Some(bytes) = parcel.bytes {
        list.push(&Uint8Array::from(bytes.as_slice()));
    }
    list
}
