//! The address bar: a link is read once and then cleared, and nothing is ever written while drawing.

use wasm_bindgen::JsValue;
use wasm_bindgen::closure::Closure;
use web_sys::Location;

fn location() -> Option<Location> {
    web_sys::window().map(|window| window.location())
}

/// What follows the `#` in the address; `None` when there is nothing.
pub(crate) fn fragment() -> Option<String> {
    let hash = location()?.hash().ok()?;
    let text = hash.strip_prefix('#').unwrap_or(&hash);
    (!text.is_empty()).then(|| text.to_owned())
}

/// Takes the fragment out of the address, so that a reload shows the reader's own plan.
pub(crate) fn clear_fragment() {
    let cleared = web_sys::window().and_then(|window| {
        let location = window.location();
        let address = location.pathname().ok()? + &location.search().ok()?;
        window.history().ok()?.replace_state_with_url(&JsValue::NULL, "", Some(&address)).ok()
    });
    if cleared.is_none() {
        web_sys::console::warn_1(&"the address could not be cleared".into());
    }
}

/// The address of the page itself, without search or fragment.
pub(crate) fn page_address() -> String {
    let whole = location().and_then(|l| Some(l.origin().ok()? + &l.pathname().ok()?));
    whole.unwrap_or_default()
}

/// Calls `then` whenever a fragment is put into the address of the open page.
pub(crate) fn on_fragment(then: impl Fn() + 'static) {
    let listener = Closure::<dyn Fn()>::new(then).into_js_value();
    if let Some(window) = web_sys::window() {
        window.set_onhashchange(Some(listener.unchecked_ref()));
    }
}

use wasm_bindgen::JsCast;
