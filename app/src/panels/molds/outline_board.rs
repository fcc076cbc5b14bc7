//! A small board to draw an outline on: tap a side to add a corner, drag a corner, remove it.

use engine::geometry::{Point, Rect, Ring};
use engine::units::Length;
use leptos::ev::PointerEvent;

use super::outline_edit::{Corner, Rings, moved, nearest_corner, with_corner, without_corner};
use super::picture::{box_of, path};
use crate::platform::{hold_pointer, place_in_drawing};
use crate::reactive::prelude::*;
use crate::widgets::{Button, Committed};

/// How near a corner a finger or a pointer takes hold of it, in screen pixels.
const REACH_PX: f64 = 14.0;
/// What a drawn coordinate is rounded to, in millimetres; finer is typed.
const STEP_MM: f64 = 0.5;

/// A drag of one corner: the outlines as they would be.
#[derive(Clone, Debug, PartialEq)]
struct Drag {
    rings: Rings,
    corner: Corner,
}

/// The outline, drawn and to be drawn on.
#[component]
pub(super) fn OutlineBoard(
    /// The outlines, the outer one first, in the coordinates they are typed in.
    #[prop(into)]
    rings: Signal<Rings>,
    /// Takes the outlines after a change.
    commit: Callback<Rings, Committed>,
) -> impl IntoView {
    let drag = RwSignal::new(None::<Drag>);
    let chosen = RwSignal::new(None::<Corner>);
    let shown = memo(move |_| drag.get().map_or_else(|| rings.get(), |drag| drag.rings));
    // The view stays as it is during a drag, or the corner would run from the finger.
    let view = memo(move |_| rings.with(|rings| view_of(rings)));
    let press = move |event: PointerEvent| {
        let Some(place) = place_in_drawing(&event) else { return };
        hold_pointer(&event);
        let at = Point::new(place.x, -place.y);
        let taken = rings.with_untracked(|rings| {
            nearest_corner(rings, at, REACH_PX * place.per_pixel)
                .map(|corner| (rings.clone(), corner))
                .unwrap_or_else(|| with_corner(rings, rounded(at)))
        });
        chosen.set(Some(taken.1));
        drag.set(Some(Drag { rings: taken.0, corner: taken.1 }));
    };
    let follow = move |event: PointerEvent| {
        if let (true, Some(place)) =
            (drag.with_untracked(Option::is_some), place_in_drawing(&event))
        {
            let to = rounded(Point::new(place.x, -place.y));
            drag.update(|drag| {
                if let Some(drag) = drag {
                    drag.rings = moved(&drag.rings, drag.corner, to);
                }
            });
        }
    };
    let release = move |_| {
        if let Some(Drag { rings: drawn, .. }) = drag.get_untracked() {
            drag.set(None);
            // Refused only beyond the limits of a plan; the outline then springs back to what it was.
            if drawn != rings.get_untracked() && commit.run(drawn).is_err() {
                chosen.set(None);
            }
        }
    };
    let remove = move |()| {
        let fewer = chosen.get_untracked().and_then(|c| without_corner(&rings.get_untracked(), c));
        if fewer.is_some_and(|fewer| commit.run(fewer).is_ok()) {
            chosen.set(None);
        }
    };
    let cannot_remove = move || {
        !chosen.get().is_some_and(|c| rings.with(|rings| without_corner(rings, c).is_some()))
    };
    view! {
        <div class="outline">
            <svg
                class="outline-board"
                viewBox=move || box_of(view.get())
                role="img"
                aria-label="The outline. Corners can be typed in the list beside it."
                on:pointerdown=press
                on:pointermove=follow
                on:pointerup=release
                on:pointercancel=move |_| drag.set(None)
            >
                <path class="outline-grid" d=move || grid(view.get())/>
                <path class="outline-line" fill-rule="evenodd" d=move || shown.with(|r| path(r.iter()))/>
                {move || shown.with(|rings| knobs(rings, chosen.get(), view.get()))}
            </svg>
            <div class="row">
                <Button
                    label="Remove corner"
                    press=remove
                    disabled=Signal::derive(cannot_remove)
                />
            </div>
        </div>
    }
}

fn rounded(p: Point) -> Point {
    let step = |mm: f64| (mm / STEP_MM).round() * STEP_MM;
    Point::new(step(p.x), step(p.y))
}

/// The outlines with room round them to draw in.
fn view_of(rings: &[Ring]) -> Rect {
    let bounds = Rect::around(rings.iter().flat_map(|ring| ring.points().iter().copied()));
    let bounds = bounds.unwrap_or_else(|| Rect::new(Point::ORIGIN, Point::new(60.0, 40.0)));
    let room = bounds.width().max(bounds.depth()) * 0.2;
    bounds.grown(room.max(Length::mm(5.0)))
}

/// Lines a round number of millimetres apart, some ten across the view.
fn grid(view: Rect) -> String {
    let across = view.width().max(view.depth()).to_mm();
    let steps = [1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0];
    let step = steps.into_iter().find(|step| across / step <= 14.0).unwrap_or(2000.0);
    let lines = |from: f64, to: f64| {
        let first = (from / step).ceil() * step;
        std::iter::successors(Some(first), move |at| Some(at + step))
            .take_while(move |at| *at <= to)
    };
    let upright = lines(view.min.x, view.max.x)
        .map(|x| format!("M{x:.2} {:.2}V{:.2}", -view.min.y, -view.max.y));
    let level = lines(view.min.y, view.max.y)
        .map(|y| format!("M{:.2} {:.2}H{:.2}", view.min.x, -y, view.max.x));
    upright.chain(level).collect()
}

/// The corners as knobs of one size on the screen, whatever the outline's.
fn knobs(rings: &[Ring], chosen: Option<Corner>, view: Rect) -> impl IntoView + use<> {
    let radius = view.width().max(view.depth()).to_mm() / 55.0;
    let knob = |(corner, p): (Corner, &Point)| {
        let class = if chosen == Some(corner) { "knob knob-chosen" } else { "knob" };
        view! { <circle class=class cx=p.x cy=-p.y r=radius/> }
    };
    let corners = rings.iter().enumerate().flat_map(|(ring, outline)| {
        let points = outline.points().iter().enumerate();
        points.map(move |(at, point)| (Corner { ring, at }, point))
    });
    corners.map(knob).collect_view()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grid_has_a_line_every_ten_millimetres_on_a_hand_sized_outline() {
        let view = Rect::new(Point::new(-5.0, 0.0), Point::new(95.0, 60.0));
        let text = grid(view);
        assert_eq!(text.matches('V').count(), 10);
        assert_eq!(text.matches('H').count(), 7);
        assert!(text.contains("M10.00 -0.00V-60.00"), "{text}");
    }

    #[test]
    fn drawn_corners_fall_on_half_millimetres() {
        assert_eq!(rounded(Point::new(10.26, -3.74)), Point::new(10.5, -3.5));
    }
}
