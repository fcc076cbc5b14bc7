//! Files: out by download, in by the file dialog or a drop.

use js_sys::Uint8Array;
use leptos::ev::{DragEvent, Event};
use leptos::task::spawn_local;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, FileList, HtmlAnchorElement, HtmlInputElement, Url};

use super::helper::Bytes;

/// A file that the user chose or dropped, not read yet.
#[derive(Clone, Debug)]
pub(crate) struct PickedFile(File);

/// The largest text that is read at all; a saved plan at its limits is well below.
const MOST_TEXT: f64 = 16_777_216.0;

/// How much of a file tells what it is.
const TELLTALE: f64 = 4096.0;

impl PickedFile {
    /// Its name, for messages.
    pub(crate) fn name(&self) -> String {
        self.0.name()
    }

    /// Its size in bytes.
    pub(crate) fn size(&self) -> f64 {
        self.0.size()
    }

    /// The kind that the browser takes it for, such as `image/png`; empty when it has no idea.
    pub(crate) fn media(&self) -> String {
        self.0.type_()
    }

    /// Reads it as text; or says in a sentence why not.
    pub(crate) fn text(self, then: impl FnOnce(Result<String, String>) + 'static) {
        let name = self.name();
        if self.size() > MOST_TEXT {
            let words = "no saved plan has more than 16 MB";
            return then(Err(format!("{name} has {}, and {words}.", megabytes(self.size()))));
        }
        spawn_local(async move {
            let text = JsFuture::from(self.0.text()).await;
            let text = text.ok().as_ref().and_then(JsValue::as_string);
            then(text.ok_or_else(|| format!("{name} could not be read by the browser.")));
        });
    }

    /// Reads it as bytes, which stay with the browser; or says in a sentence why not.
    pub(crate) fn bytes(self, most: f64, then: impl FnOnce(Result<Bytes, String>) + 'static) {
        if let Err(words) = self.within(most) {
            return then(Err(words));
        }
        spawn_local(async move {
            let name = self.name();
            let buffer = JsFuture::from(self.0.array_buffer()).await;
            let bytes = buffer.map(|buffer| Bytes(Uint8Array::new(&buffer)));
            then(bytes.map_err(|_| format!("{name} could not be read by the browser.")));
        });
    }

    /// Reads how it begins; nothing when it cannot be read.
    pub(crate) fn beginning(self, then: impl FnOnce(Vec<u8>) + 'static) {
        spawn_local(async move { then(self.first(TELLTALE).await) });
    }

    /// The first so many bytes.
    pub(super) async fn first(&self, count: f64) -> Vec<u8> {
        let Ok(part) = self.0.slice_with_f64_and_f64(0.0, count) else { return Vec::new() };
        let buffer = JsFuture::from(part.array_buffer()).await;
        buffer.map(|buffer| Uint8Array::new(&buffer).to_vec()).unwrap_or_default()
    }

    /// Says in a sentence when it is larger than what is read.
    pub(super) fn within(&self, most: f64) -> Result<(), String> {
        if self.size() <= most {
            return Ok(());
        }
        let (name, size, most) = (self.name(), megabytes(self.size()), megabytes(most));
        Err(format!("{name} has {size}, more than the {most} that are read: save it smaller."))
    }

    /// The file itself, for the decoders of the browser.
    pub(super) const fn file(&self) -> &File {
        &self.0
    }
}

fn megabytes(bytes: f64) -> String {
    format!("{:.1} MB", bytes / 1e6)
}

/// Hands `bytes` to the user as a file.
///
/// # Errors
/// Says in a sentence that the browser refused.
pub(crate) fn download(name: &str, media: &str, bytes: &[u8]) -> Result<(), String> {
    offer(name, media, bytes)
        .ok_or_else(|| format!("The browser did not take {name}. Try another browser window."))
}

fn offer(name: &str, media: &str, bytes: &[u8]) -> Option<()> {
    let parts = js_sys::Array::of1(&Uint8Array::from(bytes));
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

/// The files chosen in a file input, which is emptied so that the same files can be chosen again.
pub(crate) fn chosen_files(event: &Event) -> Vec<PickedFile> {
    let input = event.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
    let files = listed(input.as_ref().and_then(HtmlInputElement::files));
    if let Some(input) = input {
        input.set_value("");
    }
    files
}

/// The files dropped on the page; a drop of words is left to the field it falls into.
pub(crate) fn dropped_files(event: &DragEvent) -> Vec<PickedFile> {
    let files = listed(event.data_transfer().and_then(|transfer| transfer.files()));
    if !files.is_empty() {
        event.prevent_default();
    }
    files
}

fn listed(files: Option<FileList>) -> Vec<PickedFile> {
    let Some(files) = files else { return Vec::new() };
    (0..files.length()).filter_map(|at| files.get(at)).map(PickedFile).collect()
}

/// Lets the page take a file, where the browser would otherwise leave the page for it.
pub(crate) fn welcome_file(event: &DragEvent) {
    let carried = event.data_transfer().map(|transfer| transfer.types());
    if carried.is_some_and(|types| types.includes(&"Files".into(), 0)) {
        event.prevent_default();
    }
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
