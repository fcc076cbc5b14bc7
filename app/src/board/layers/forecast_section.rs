//! The line of the section: two ends to drag, each a stop of the Tab key.

use engine::geometry::{Point, Rect, Vec2};
use leptos::ev::{KeyboardEvent, PointerEvent};

use super::super::state::BoardState;
use crate::panels::use_forecaster;
use crate::platform::{hold_pointer, place_in_drawing};
use crate::reactive::prelude::*;
use crate::widgets::Show;

/// Millimetres for an arrow key, and with Shift and Alt held.
const STEP: f64 = 1.0;
const LARGE: f64 = 10.0;
const SMALL: f64 = 0.1;
/// The shortest line, in millimetres.
const SHORTEST: f64 = 2.0;

/// The line with its ends, while there is one.
#[component]
pub(in super::super) fn SectionLine(board: BoardState) -> impl IntoView {
    let section = use_forecaster().section;
    let is_there = memo(move |_| section.with(Option::is_some));
    let data = move || {
        section.with(|section| {
            section.map_or_else(String::new, |[a, b]| {
                format!("M{:.2} {:.2}L{:.2} {:.2}", a.x, a.y, b.x, b.y)
            })
        })
    };
    view! {
        <Show when=move || is_there.get()>
            <path class="section-under" d=data aria-hidden="true"/>
            <path class="section-line" d=data aria-hidden="true"/>
            <SectionEnd board nth=0 name="First end of the section"/>
            <SectionEnd board nth=1 name="Second end of the section"/>
        </Show>
    }
}

#[component]
fn SectionEnd(
    /// The board.
    board: BoardState,
    /// Which end.
    nth: usize,
    /// What it is called.
    name: &'static str,
) -> impl IntoView {
    let section = use_forecaster().section;
    let is_held = RwSignal::new(false);
    let at = memo(move |before: Option<&Point>| {
        let now = section.with(|section| section.map(|ends| ends[nth]));
        now.or(before.copied()).unwrap_or_default()
    });
    let put = move |to: Point| {
        let blank = board.store.shown().with_untracked(|plan| plan.machine.blank.rect());
        section.update(|section| put_end(section.as_mut(), nth, to, blank));
    };
    let press = move |event: PointerEvent| {
        // The board would begin to move a mold, or a band.
        event.stop_propagation();
        hold_pointer(&event);
        is_held.set(true);
    };
    let follow = move |event: PointerEvent| {
        if !is_held.get_untracked() {
            return;
        }
        event.stop_propagation();
        if let Some(place) = place_in_drawing(&event) {
            put(Point::new(place.x, place.y));
        }
    };
    let release = move |event: PointerEvent| {
        event.stop_propagation();
        is_held.set(false);
    };
    let key = move |event: KeyboardEvent| {
        let Some(by) = way_of(&event) else { return };
        event.prevent_default();
        event.stop_propagation();
        put(at.get_untracked() + by);
    };
    let place = move || {
        let at = at.get();
        format!("translate({:.2} {:.2})", at.x, at.y)
    };
    let spoken = move || {
        let (at, style) = (at.get(), board.store.with(|session| session.plan().settings.lengths));
        let [x, y] = [at.x, at.y].map(|mm| style.show(engine::units::Length::mm(mm)));
        format!("{name}, {x} from the left, {y} from the front")
    };
    view! {
        <g
            class="section-end"
            id=format!("section-end-{nth}")
            tabindex="0"
            role="button"
            aria-label=spoken
            on:pointerdown=press
            on:pointermove=follow
            on:pointerup=release
            on:pointercancel=move |_| is_held.set(false)
            on:keydown=key
        >
            <g transform=place>
                <g class="constant">
                    <circle class="section-reach" r="22"/>
                    <circle class="section-knob" r="9"/>
                    <text class="section-name" y="4">{if nth == 0 { "A" } else { "B" }}</text>
                </g>
            </g>
        </g>
    }
}

/// Puts an end as near to a place as the blank and the other end let it come.
fn put_end(ends: Option<&mut [Point; 2]>, nth: usize, to: Point, blank: Rect) {
    let to = Point::new(to.x.clamp(blank.min.x, blank.max.x), to.y.clamp(blank.min.y, blank.max.y));
    if let Some(ends) = ends.filter(|ends| ends[1 - nth].distance(to) >= SHORTEST) {
        ends[nth] = to;
    }
}

/// How far an arrow key moves an end; nothing for another key.
fn way_of(event: &KeyboardEvent) -> Option<Vec2> {
    let step = if event.shift_key() {
        LARGE
    } else if event.alt_key() {
        SMALL
    } else {
        STEP
    };
    match event.key().as_str() {
        "ArrowLeft" => Some(Vec2::new(-step, 0.0)),
        "ArrowRight" => Some(Vec2::new(step, 0.0)),
        "ArrowUp" => Some(Vec2::new(0.0, step)),
        "ArrowDown" => Some(Vec2::new(0.0, -step)),
        _ => None,
    }
}
