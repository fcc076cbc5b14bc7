//! What the help asks of the browser: keys from anywhere, the way to what is called so, paper, and whether the tour was seen.

use leptos::ev;
use leptos::prelude::{request_animation_frame, window_event_listener};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::{Element, KeyboardEvent};

use super::storage;
use crate::keys::{Chord, Held};

const TOUR: &str = "onepull:tour";

#[wasm_bindgen(raw_module = "./guide.js")]
extern "C" {
    #[wasm_bindgen(js_name = goTo)]
    fn go_to_here(panel: &str, name: &str, otherwise: &str);
    #[wasm_bindgen(js_name = showPart)]
    fn show_part_here(id: &str, is_whole: bool);
    #[wasm_bindgen(js_name = printPage)]
    pub(crate) fn print_page();
}

/// Scrolls what has this id into sight once it is drawn: its beginning to the top, or no farther than it must.
pub(crate) fn show_part(id: String, is_whole: bool) {
    request_animation_frame(move || show_part_here(&id, is_whole));
}

/// Gives the keyboard to what is called `name` in the element with the id `panel`, unfolded and in sight, once it is drawn;
/// where there is no such thing to what is called `otherwise`, or to the panel itself.
pub(crate) fn go_to(panel: String, name: &'static str, otherwise: &'static str) {
    // A panel that is only being opened is in the page one frame later.
    request_animation_frame(move || {
        request_animation_frame(move || go_to_here(&panel, name, otherwise));
    });
}

/// Hears every key that is pressed in the page, for as long as the page is open.
pub(crate) fn on_key(then: impl Fn(KeyboardEvent) + 'static) {
    // The handle would only take the listener off again.
    let _ = window_event_listener(ev::keydown, then);
}

/// True when the key goes into a field, or a dialog lies over the page.
pub(crate) fn is_typing(event: &KeyboardEvent) -> bool {
    let target = event.target().and_then(|target| target.dyn_into::<Element>().ok());
    let fields = "input:not([type=checkbox], [type=radio]), select, textarea, dialog[open]";
    target.is_some_and(|target| target.closest(fields).ok().flatten().is_some())
}

/// True until somebody has taken the tour or said that they do not want it.
pub(crate) fn is_offer_open() -> bool {
    storage::read(TOUR).is_none()
}

/// The tour is not offered any more in this browser.
pub(crate) fn forget_offer() {
    // A browser that keeps nothing offers it again next time, which does no harm.
    let _ = storage::write(TOUR, "seen");
}

/// The key as the table of keys knows it.
pub(crate) fn chord_of(event: &KeyboardEvent) -> Chord {
    // With AltGr some keyboards type brackets, and the browser reports Control and Alt.
    let is_typing = event.get_modifier_state("AltGraph");
    let is_command = (event.ctrl_key() || event.meta_key()) && !is_typing;
    let is_alt = event.alt_key() && !is_typing;
    let held = match (is_command, event.shift_key(), is_alt) {
        (false, false, false) => Held::Nothing,
        (false, true, false) => Held::Shift,
        (false, false, true) => Held::Alt,
        (true, false, false) => Held::Control,
        (true, true, false) => Held::ControlShift,
        (_, _, true) => Held::Other,
    };
    let key = event.key();
    // On a Mac, Option makes another character of the bracket keys.
    let key = match event.code().as_str() {
        "BracketLeft" if is_alt => "[".to_owned(),
        "BracketRight" if is_alt => "]".to_owned(),
        _ if key.chars().count() == 1 => key.chars().flat_map(char::to_lowercase).collect(),
        _ => key,
    };
    Chord { key, held }
}
