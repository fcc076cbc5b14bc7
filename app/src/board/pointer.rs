//! Browser events to inputs of the gesture, at most one a frame; with `platform` the only user of `web_sys`.

use std::collections::BTreeMap;

use engine::plan::PlacementId;
use leptos::ev::{FocusEvent, KeyboardEvent, MouseEvent, PointerEvent, WheelEvent};
use leptos::svg;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Element, ResizeObserver, SvgElement, SvgGraphicsElement};

use super::gesture::{Input, Intent, Press, Target, Tool};
use super::hands::Hands;
use super::state::BoardState;
use super::viewport::Pixel;
use crate::keys::{self, Command};
use crate::platform::chord_of;
use crate::reactive::prelude::*;

/// The button numbers of `PointerEvent.button`.
const MAIN_BUTTON: i16 = 0;
const MIDDLE_BUTTON: i16 = 1;
/// How much larger a wheel makes the drawing for each pixel it would have scrolled.
const WHEEL_ZOOM_PER_PX: f64 = 0.0015;
/// What a line and a page of a wheel that counts in them are worth in pixels.
const LINE_PX: f64 = 16.0;
const PAGE_PX: f64 = 400.0;
/// The most that one turn of the wheel zooms; some wheels report a thousand pixels at once.
const WHEEL_MOST_PX: f64 = 240.0;

/// The pointers and keys that are down on one board; cheap to copy.
#[derive(Clone, Copy)]
pub(super) struct Pointers {
    board: BoardState,
    hands: Hands,
    drawing: NodeRef<svg::Svg>,
    /// Where the board's corner is in the window, taken once a gesture.
    corner: StoredValue<Pixel>,
    /// The newest place of each pointer that has not been looked at.
    waiting: StoredValue<BTreeMap<i32, Input>>,
    space: StoredValue<Space>,
}

/// What the space bar is held for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Space {
    Up,
    /// Held, and nothing done with it yet: letting go picks the mold in focus.
    Down,
    /// Held to move the view.
    Panning,
}

impl Pointers {
    /// The adapter between a drawing in the page and the hands.
    pub(super) fn new(board: BoardState, hands: Hands, drawing: NodeRef<svg::Svg>) -> Self {
        Self {
            board,
            hands,
            drawing,
            corner: StoredValue::new(Pixel::default()),
            waiting: StoredValue::new(BTreeMap::new()),
            space: StoredValue::new(Space::Up),
        }
    }

    /// Follows the size of the drawing in the page for as long as the board lives.
    pub(super) fn watch_size(self) {
        let measure = Closure::<dyn FnMut()>::new(move || {
            if let Some(drawing) = self.drawing.try_get_untracked().flatten() {
                let rect = drawing.get_bounding_client_rect();
                let _ = self.board.view.try_update(|view| {
                    *view = view.resized(rect.width(), rect.height());
                });
            }
        });
        // A browser without it shows the board at the size of its first guess.
        let Ok(observer) = ResizeObserver::new(measure.as_ref().unchecked_ref()) else { return };
        Effect::new({
            let observer = observer.clone();
            move || {
                if let Some(drawing) = self.drawing.get() {
                    observer.observe(&drawing);
                }
            }
        });
        // Kept by the board, so that the browser's calls find it.
        let _ = StoredValue::new(Local::new((observer, measure)));
    }

    /// A pointer went down.
    pub(super) fn down(self, event: &PointerEvent) {
        let is_panning = event.button() == MIDDLE_BUTTON || self.space.get_value() != Space::Up;
        if event.button() != MAIN_BUTTON && event.button() != MIDDLE_BUTTON {
            return;
        }
        if is_panning && self.space.get_value() == Space::Down {
            self.space.set_value(Space::Panning);
        }
        if let Some(drawing) = self.drawing.get_untracked() {
            // A pointer that is gone already cannot be captured, nor need it be.
            let _ = drawing.set_pointer_capture(event.pointer_id());
        }
        if !self.hands.is_busy() {
            self.measure_corner();
        }
        self.flush();
        let is_adding = event.shift_key() || self.board.is_adding.get_untracked();
        let intent = match (is_panning, is_adding) {
            (true, _) => Intent::Pan,
            (false, true) => Intent::Add,
            (false, false) => Intent::Plain,
        };
        let is_touch = event.pointer_type() == "touch";
        let tool = if is_touch { Tool::Touch } else { Tool::Mouse };
        let target = target_of(event);
        let (pointer, at) = (event.pointer_id(), self.place(event));
        self.board.is_keyed.set(false);
        if let Target::Mold(id) = target {
            self.board.focused.set(Some(id));
        }
        self.give_focus();
        self.hands.feed(Input::Press(Press { pointer, at, tool, target, intent }));
    }

    /// A pointer moved: what it does is looked at once a frame.
    pub(super) fn moved(self, event: &PointerEvent) {
        if !self.hands.is_busy() {
            return;
        }
        let pointer = event.pointer_id();
        let input = Input::Move { pointer, at: self.place(event), is_free: event.alt_key() };
        let is_first = self.waiting.with_value(BTreeMap::is_empty);
        self.waiting.update_value(|waiting| {
            waiting.insert(pointer, input);
        });
        if is_first {
            request_animation_frame(move || self.flush());
        }
    }

    /// A pointer went up.
    pub(super) fn up(self, event: &PointerEvent) {
        self.flush();
        self.hands.feed(Input::Release { pointer: event.pointer_id() });
    }

    /// The browser took a pointer away.
    pub(super) fn cancelled(self) {
        self.waiting.update_value(BTreeMap::clear);
        self.hands.feed(Input::Abort);
    }

    /// A wheel or a trackpad: zooms with Ctrl, which is also how a trackpad reports a pinch, or with the focus
    /// on the board; else the page scrolls.
    pub(super) fn wheel(self, event: &WheelEvent) {
        if !(event.ctrl_key() || event.meta_key() || self.has_focus()) {
            return;
        }
        event.prevent_default();
        if self.hands.is_busy() {
            return;
        }
        self.measure_corner();
        let unit = match event.delta_mode() {
            WheelEvent::DOM_DELTA_LINE => LINE_PX,
            WheelEvent::DOM_DELTA_PAGE => PAGE_PX,
            _ => 1.0,
        };
        let px = (event.delta_y() * unit).clamp(-WHEEL_MOST_PX, WHEEL_MOST_PX);
        let at = self.place(event);
        let step = 1.0 + px.abs() * WHEEL_ZOOM_PER_PX;
        let factor = if px < 0.0 { step } else { 1.0 / step };
        self.board.view.update(|view| *view = view.zoomed(at, factor));
    }

    /// A key went down on the board.
    pub(super) fn key_down(self, event: &KeyboardEvent) {
        self.board.is_keyed.set(true);
        let chord = chord_of(event);
        let Some(command) = keys::command(&chord) else { return };
        event.prevent_default();
        if command == Command::Pick {
            // Decided when it comes up again: it may be held to move the view.
            if self.space.get_value() == Space::Up {
                self.space.set_value(Space::Down);
            }
            return;
        }
        self.hands.take_focused(command);
        self.hands.run(command);
        self.hands.keep_focus();
        // A command that opens the help has given the keyboard away.
        if self.has_focus() || Self::is_focus_lost() {
            self.give_focus();
        }
    }

    /// A key came up.
    pub(super) fn key_up(self, event: &KeyboardEvent) {
        if event.key() != " " {
            return;
        }
        event.prevent_default();
        if self.space.get_value() == Space::Down {
            self.hands.run(Command::Pick);
        }
        self.space.set_value(Space::Up);
    }

    /// Something on the board lost the keyboard; when the board did, keys that come up are no longer heard.
    pub(super) fn blurred(self, event: &FocusEvent) {
        let next = event.related_target().and_then(|target| target.dyn_into::<Element>().ok());
        let drawing = self.drawing.get_untracked();
        if drawing.zip(next).is_some_and(|(drawing, next)| drawing.contains(Some(&next))) {
            return;
        }
        self.board.is_keyed.set(true);
        self.space.set_value(Space::Up);
    }

    fn flush(self) {
        let Some(waiting) = self.waiting.try_update_value(std::mem::take) else { return };
        for input in waiting.into_values() {
            self.hands.feed(input);
        }
    }

    fn measure_corner(self) {
        let drawing = self.drawing.get_untracked();
        let drawing = drawing.and_then(|element| element.dyn_into::<SvgGraphicsElement>().ok());
        if let Some(map) = drawing.and_then(|drawing| drawing.get_screen_ctm()) {
            self.corner.set_value(Pixel::new(f64::from(map.e()), f64::from(map.f())));
        }
    }

    fn place(self, event: &MouseEvent) -> Pixel {
        let corner = self.corner.get_value();
        let (x, y) = (f64::from(event.client_x()), f64::from(event.client_y()));
        Pixel::new(x - corner.x, y - corner.y)
    }

    fn has_focus(self) -> bool {
        let active = document().active_element();
        let drawing = self.drawing.get_untracked();
        drawing.zip(active).is_some_and(|(drawing, active)| drawing.contains(Some(&active)))
    }

    /// True when nothing has the keyboard, as after the element that had it was taken away.
    fn is_focus_lost() -> bool {
        document().active_element().is_none_or(|active| active.tag_name() == "BODY")
    }

    /// Gives the keyboard to the mold it is at; to one that is not drawn yet with the next frame, and without one to the
    /// board itself.
    fn give_focus(self) {
        let focused = self.board.focused.get_untracked();
        let mold = move || {
            let mold = focused.and_then(|id| document().get_element_by_id(&element_id(id)));
            mold.and_then(|element| element.dyn_into::<SvgElement>().ok())
        };
        // An element that has been taken away in the meantime cannot have the focus.
        let give = |element: SvgElement| drop(element.focus());
        // A key may come before the frame does.
        mold().into_iter().for_each(give);
        request_animation_frame(move || {
            let drawing = self.drawing.try_get_untracked().flatten();
            mold().or_else(|| drawing.map(JsCast::unchecked_into)).into_iter().for_each(give);
        });
    }
}

/// The id of a mold's element in the page.
pub(super) fn element_id(id: PlacementId) -> String {
    format!("mold-{}", id.0)
}

/// What lies under a pointer: the nearest element that says so.
fn target_of(event: &PointerEvent) -> Target {
    let hit = event.target().and_then(|target| target.dyn_into::<Element>().ok());
    let said = hit.and_then(|hit| hit.closest("[data-hit]").ok().flatten());
    let said = said.and_then(|element| element.get_attribute("data-hit")).unwrap_or_default();
    match (said.as_str(), said.parse()) {
        ("turn", _) => Target::TurnHandle,
        (_, Ok(number)) => Target::Mold(PlacementId(number)),
        (_, Err(_)) => Target::Ground,
    }
}
