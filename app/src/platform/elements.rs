//! What can only be asked of elements themselves: focus, dialogs, and where a pointer is in a drawing.

use leptos::ev::PointerEvent;
use leptos::prelude::request_animation_frame;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlDialogElement, HtmlElement, SvgGraphicsElement};

fn element(id: &str) -> Option<Element> {
    web_sys::window()?.document()?.get_element_by_id(id)
}

/// Gives the keyboard to the element with this id, if there is one.
pub(crate) fn focus(id: &str) {
    if let Some(element) = element(id).and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        // An element that cannot take the focus leaves it where it is.
        let _ = element.focus();
    }
}

/// Gives the keyboard to the first of these ids that is in the page, once what was just done is drawn.
///
/// For what takes away the element that has the keyboard: it would fall to the page as a whole, and the next Tab would
/// begin at its top.
pub(crate) fn focus_next(ids: Vec<String>) {
    request_animation_frame(move || {
        if let Some(id) = ids.iter().find(|id| element(id).is_some()) {
            focus(id);
        }
    });
}

/// As [`focus_next`], but only when nothing has the keyboard by then: the person may have gone elsewhere meanwhile.
pub(crate) fn focus_if_lost(id: String) {
    request_animation_frame(move || {
        let active = web_sys::window().and_then(|window| window.document()?.active_element());
        if active.is_none_or(|active| active.tag_name() == "BODY") {
            focus(&id);
        }
    });
}

/// Scrolls the element with this id into sight, once it is drawn.
pub(crate) fn reveal(id: &'static str) {
    request_animation_frame(move || {
        if let Some(element) = element(id) {
            element.scroll_into_view_with_bool(false);
        }
    });
}

/// Scrolls the inside of the element with this id back to its beginning, once it is drawn.
pub(crate) fn to_top(id: String) {
    request_animation_frame(move || {
        let Some(element) = element(&id) else { return };
        let active = element.owner_document().and_then(|document| document.active_element());
        // Where the keyboard has been given to something in it, that is what is wanted.
        if !element.contains(active.as_deref()) {
            element.set_scroll_top(0);
        }
    });
}

/// Opens a dialog over the page; the rest of the page waits.
pub(crate) fn open_dialog(dialog: &HtmlDialogElement) {
    if !dialog.open() {
        // Refused only when the dialog is not in the page, and then there is nothing to open.
        let _ = dialog.show_modal();
    }
}

/// Closes a dialog.
pub(crate) fn close_dialog(dialog: &HtmlDialogElement) {
    if dialog.open() {
        dialog.close();
    }
}

/// Keeps the pointer with the drawing that the event was sent to until it is let go.
pub(crate) fn hold_pointer(event: &PointerEvent) {
    let target = event.current_target().and_then(|t| t.dyn_into::<Element>().ok());
    if let Some(target) = target {
        // A pointer that is gone already cannot be held, nor need it be.
        let _ = target.set_pointer_capture(event.pointer_id());
    }
}

/// A place in a drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct DrawnPlace {
    /// To the right, in the drawing's own units.
    pub(crate) x: f64,
    /// Downwards, in the drawing's own units.
    pub(crate) y: f64,
    /// How many of its units one screen pixel is.
    pub(crate) per_pixel: f64,
}

/// Where the pointer is in the drawing that the event was sent to.
pub(crate) fn place_in_drawing(event: &PointerEvent) -> Option<DrawnPlace> {
    let drawing = event.current_target()?.dyn_into::<SvgGraphicsElement>().ok()?;
    let map = drawing.get_screen_ctm()?.inverse().ok()?;
    let (x, y) = (f64::from(event.client_x()), f64::from(event.client_y()));
    let [a, b, c, d, e, f] = [map.a(), map.b(), map.c(), map.d(), map.e(), map.f()].map(f64::from);
    Some(DrawnPlace { x: a * x + c * y + e, y: b * x + d * y + f, per_pixel: a.abs() })
}
