//! The clipboard, which a browser may refuse.

use leptos::task::spawn_local;
use wasm_bindgen_futures::JsFuture;

/// Copies `text`, then tells `then` whether the browser allowed it.
pub(crate) fn copy_text(text: String, then: impl Fn(bool) + 'static) {
    let navigator = web_sys::window().map(|window| window.navigator());
    // Outside a secure context there is no clipboard at all, and calling it would end the page.
    let offered = navigator.filter(|n| {
        js_sys::Reflect::get(n, &"clipboard".into()).is_ok_and(|value| !value.is_undefined())
    });
    let Some(navigator) = offered else { return then(false) };
    spawn_local(async move {
        let copied = JsFuture::from(navigator.clipboard().write_text(&text)).await;
        then(copied.is_ok());
    });
}
