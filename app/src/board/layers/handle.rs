//! The round handle that turns the selection, always the same size on the screen.

use engine::drawing::{Form, Mark, Role};
use engine::geometry::{Point, Vec2};
use engine::units::Angle;

use super::super::state::BoardState;
use super::super::words::degrees;
use crate::reactive::prelude::*;

/// From the outline to the middle of the handle, in pixels.
const STEM_PX: f64 = 36.0;
/// From the middle of the handle to the figure beside it, in pixels.
const FIGURE_PX: f64 = 18.0;

/// Where the handle stands: its foot on the outline, its direction, and how far one mold alone is turned.
#[derive(Clone, Debug, PartialEq)]
struct Stand {
    foot: Point,
    direction: Vec2,
    degrees: Option<f64>,
}

/// The handle of the selection, while something is selected that may turn and is not being moved.
#[component]
pub(in super::super) fn Handle(board: BoardState) -> impl IntoView {
    let stand = memo(move |_| stand(board));
    let is_shown = memo(move |_| {
        board.is_turning.get() || board.moving.with(std::collections::BTreeSet::is_empty)
    });
    move || stand.get().filter(|_| is_shown.get()).as_ref().map(handle_view)
}

fn handle_view(stand: &Stand) -> impl IntoView + use<> {
    // Within a group of constant size y runs downwards.
    let (x, y) = (stand.direction.x * STEM_PX, -stand.direction.y * STEM_PX);
    let figure = stand.degrees.map(|degrees| {
        view! { <text class="turn-figure" x=x + FIGURE_PX y=y + 5.0>{format!("{degrees}\u{b0}")}</text> }
    });
    view! {
        <g transform=format!("translate({:.3} {:.3})", stand.foot.x, stand.foot.y) aria-hidden="true">
            <g class="constant turn-handle">
                <line class="turn-stem" x1="0" y1="0" x2=x y2=y/>
                <circle class="turn-knob" cx=x cy=y r="9"/>
                <path
                    class="turn-arrow"
                    transform=format!("translate({x:.3} {y:.3})")
                    d="M-3.6 -2.2A4.2 4.2 0 1 1 -4 1.4M-4.6 -5.2L-3.8 -2L-0.6 -2.6"
                />
                <circle class="turn-hit" data-hit="turn" cx=x cy=y r="14"/>
                {figure}
            </g>
        </g>
    }
}

fn stand(board: BoardState) -> Option<Stand> {
    let free = board.store.with(|session| session.grip().free);
    let mut ids = free.iter();
    let (first, others) = (ids.next()?, ids.next());
    if others.is_some() {
        let bounds = board.selected_bounds()?;
        let foot = Point::new(bounds.center().x, bounds.max.y);
        return Some(Stand { foot, direction: Vec2::new(0.0, 1.0), degrees: None });
    }
    let placement = board
        .store
        .shown()
        .with(|plan| plan.pulls.get(&board.store.pull().get())?.placements.get(first).copied())?;
    let (at, turn) = (placement.pose.at, placement.pose.turn);
    let direction = Vec2::unit(turn + Angle::degrees(90.0));
    let reach = board.marks.with(|marks| marks.get(first).map(|own| reach(own, at, direction)))?;
    let foot = at + direction * reach;
    Some(Stand { foot, direction, degrees: Some(degrees(&placement)) })
}

/// How far the footprint reaches from `at` in a direction, in millimetres.
fn reach(marks: &[Mark], at: Point, direction: Vec2) -> f64 {
    let regions =
        marks.iter().filter(|mark| mark.role == Role::Mold).filter_map(|mark| match &mark.form {
            Form::Region(region) => Some(region),
            Form::Line(..) | Form::Polyline(_) | Form::Text { .. } => None,
        });
    let points = regions.flat_map(|region| region.outer.points());
    points.map(|p| direction.dot(*p - at)).fold(0.0, f64::max)
}
