//! Files: out by download, in by the file dialog or a drop.

use leptos::ev::{DragEvent, Event};
use leptos::task::spawn_local;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, HtmlAnchorElement, HtmlInputElement, Url};

/// A file that the user chose, read as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ChosenFile {
    /// Its name, for messages.
    pub(crate) name: String,
    /// What is in it; or why it could not be read.
    pub(crate) text: Result<String, String>,
}

/// The largest file that is read at all; a saved plan at its limits is well below.
const MOST_BYTES: f64 = 16_777_216.0;

/// Hands `bytes` to the user as a file.
///
/// # Errors
/// Says in a sentence that the browser refused.
pub(crate) fn download(name: &str, media: &str, bytes: &[u8]) -> Result<(), String> {
    offer(name, media, bytes)
        .ok_or_else(|| format!("The browser did not take {name}. Try another browser window."))
}

fn offer(name: &str, media: &str, bytes: &[u8]) -> Option<()> {
    let parts = js_sys::Array::of1(&js_sys::Uint8Array::from(bytes));
    let kind = BlobPropertyBag::new();
    kind.set_type(media);
    let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &kind).ok()?;
    let address = Url::create_object_url_with_blob(&blob).ok()?;
    let document = web_sys::window()?.document()?;
    let anchor = document.create_element("a").ok()?.dyn_into::<HtmlAnchorElement>().ok()?;
    anchor.set_href(&address);
    anchor.set_download(&file_name(name));
    anchor.click();
    revoke_later(address);
    Some(())
}

/// Frees the bytes once the browser has had time to take them; some fetch them after the click.
fn revoke_later(address: String) {
    let free = wasm_bindgen::closure::Closure::once_into_js(move || {
        let _ = Url::revoke_object_url(&address);
    });
    if let Some(window) = web_sys::window() {
        let _ = window
            .set_timeout_with_callback_and_timeout_and_arguments_0(free.unchecked_ref(), 60_000);
    }
}

/// A name that every system takes: letters, digits and `.-_ `, no path.
fn file_name(wanted: &str) -> String {
    let plain = |c: char| if c.is_alphanumeric() || ".-_ ".contains(c) { c } else { '-' };
    let name: String = wanted.chars().map(plain).take(120).collect();
    name.trim_matches([' ', '.']).to_owned()
}

/// Reads the file chosen in a file input, then empties the input so that the same file can be chosen again.
pub(crate) fn chosen_file(event: &Event, then: impl Fn(ChosenFile) + 'static) {
    let input = event.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
    let Some(input) = input else { return };
    let file = input.files().and_then(|files| files.get(0));
    if let Some(file) = file {
        read(file, then);
    }
    input.set_value("");
}

/// Reads the first file dropped on the page; a drop of words is left to the field it falls into.
pub(crate) fn dropped_file(event: &DragEvent, then: impl Fn(ChosenFile) + 'static) {
    let files = event.data_transfer().and_then(|transfer| transfer.files());
    if let Some(file) = files.and_then(|files| files.get(0)) {
        event.prevent_default();
        read(file, then);
    }
}

/// Lets the page take a file, where the browser would otherwise leave the page for it.
pub(crate) fn welcome_file(event: &DragEvent) {
    let carried = event.data_transfer().map(|transfer| transfer.types());
    if carried.is_some_and(|types| types.includes(&"Files".into(), 0)) {
        event.prevent_default();
    }
}

fn read(file: File, then: impl Fn(ChosenFile) + 'static) {
    let name = file.name();
    if file.size() > MOST_BYTES {
        let words = format!(
            "{name} has {:.1} MB, and no saved plan has more than 16 MB.",
            file.size() / 1e6
        );
        return then(ChosenFile { name, text: Err(words) });
    }
    spawn_local(async move {
        let text = JsFuture::from(file.text()).await;
        let text = text.ok().as_ref().and_then(JsValue::as_string);
        let text = text.ok_or_else(|| format!("{name} could not be read by the browser."));
        then(ChosenFile { name, text });
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_lose_paths_and_control_characters() {
        assert_eq!(file_name("../etc/pass\u{7}wd.pdf"), "-etc-pass-wd.pdf");
        assert_eq!(file_name("Tide-pool kit 2026-08-01.pdf"), "Tide-pool kit 2026-08-01.pdf");
    }
}
