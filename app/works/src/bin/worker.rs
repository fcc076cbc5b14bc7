//! The module that workers load: what JavaScript may call of the slow work.

use js_sys::{Array, Function, Uint8Array};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;
use works::Parcel;

/// Nothing happens when the module is loaded: it waits for messages.
fn main() {}

/// Answers one message, with the bytes of a file where it is about one; see [`works::answer`].
///
/// A list: the reply as a text and, where the reply is a file, its bytes.
#[wasm_bindgen]
#[must_use]
pub fn handle_message(message: &str, bytes: Option<Vec<u8>>) -> Array {
    listed(works::work(message, &bytes.unwrap_or_default(), &mut |_| {}))
}

/// As [`handle_message`]; `post` is called with word of progress before the answer is given back.
#[wasm_bindgen]
#[must_use]
pub fn handle_long_message(message: &str, bytes: Option<Vec<u8>>, post: &Function) -> Array {
    listed(works::work(message, &bytes.unwrap_or_default(), &mut |progress| {
        // Progress that cannot be told is no reason to give the work up.
        let _ = post.call1(&JsValue::NULL, &listed(progress));
    }))
}

fn listed(parcel: Parcel) -> Array {
    let list = Array::of1(&parcel.words.into());
    if let Some(bytes) = parcel.bytes {
        list.push(&Uint8Array::from(bytes.as_slice()));
    }
    list
}
