//! What is added while a hand moves molds: the clearance they keep, the gaps round them, and what they snap to.

use engine::drawing::{Anchor, Form, Mark, Role};
use engine::geometry::Point;
use engine::moves::GuideKind;

use super::super::state::BoardState;
use super::path;
use crate::reactive::prelude::*;

/// From a gap's middle to its figure, in pixels.
const BESIDE_PX: f64 = 14.0;

/// The clearance zones, which lie under the molds.
#[component]
pub(in super::super) fn Zones(
    /// What is drawn of the molds on the move.
    focus: Memo<Vec<Mark>>,
) -> impl IntoView {
    let data = move || focus.with(|marks| path::of_role(marks, Role::ClearanceZone));
    view! { <path class="clearance-zone" d=data/> }
}

/// The gaps with their figures, which lie over the molds.
#[component]
pub(in super::super) fn Gaps(
    /// What is drawn of the molds on the move.
    focus: Memo<Vec<Mark>>,
) -> impl IntoView {
    let data = move || focus.with(|marks| path::of_role(marks, Role::Gap));
    let figures =
        memo(move |_| focus.with(|marks| marks.iter().filter_map(Figure::of).collect::<Vec<_>>()));
    let count = memo(move |_| figures.with(Vec::len));
    view! {
        <path class="gap gap-under" d=data/>
        <path class="gap" d=data/>
        <For each=move || 0..count.get() key=|nth| *nth let:nth>
            <OneFigure figures nth/>
        </For>
    }
}

/// One figure at its gap.
#[derive(Clone, Debug, PartialEq)]
struct Figure {
    at: Point,
    /// Beside a steep gap, or else above a flat one; clear of the sign in its middle either way.
    is_beside: bool,
    text: String,
}

impl Figure {
    fn of(mark: &Mark) -> Option<Self> {
        let Form::Text { at, anchor, text, .. } = &mark.form else { return None };
        let is_beside = matches!(anchor, Anchor::Start);
        let figure = Self { at: *at, is_beside, text: text.clone() };
        (mark.role == Role::GapFigure).then_some(figure)
    }
}

/// The figure with this number. It is moved with the drag and not made anew, because lettering is dear to make.
#[component]
fn OneFigure(figures: Memo<Vec<Figure>>, nth: usize) -> impl IntoView {
    let figure = memo(move |before: Option<&Option<Figure>>| {
        figures.with(|all| all.get(nth).cloned()).or_else(|| before.cloned().flatten())
    });
    let of = move |read: fn(&Figure) -> String| {
        memo(move |_| figure.with(|figure| figure.as_ref().map(read)).unwrap_or_default())
    };
    let place = of(|figure| format!("translate({:.3} {:.3})", figure.at.x, figure.at.y));
    let text = of(|figure| figure.text.clone());
    let is_beside =
        memo(move |_| figure.with(|figure| figure.as_ref().is_some_and(|one| one.is_beside)));
    view! {
        <g transform=place>
            <g class="constant">
                <text
                    class="gap-figure"
                    class:gap-figure-beside=is_beside
                    x=move || if is_beside.get() { BESIDE_PX } else { 0.0 }
                    y=move || if is_beside.get() { 5.0 } else { -BESIDE_PX }
                >
                    {text}
                </text>
            </g>
        </g>
    }
}

/// The lines that a drag snapped to.
#[component]
pub(in super::super) fn Guides(board: BoardState) -> impl IntoView {
    let lines = move || {
        let guides = board.guides.get().into_iter();
        guides
            .map(|guide| {
                let class = match guide.kind {
                    GuideKind::CentreLine => "guide guide-centre",
                    GuideKind::EqualGap => "guide guide-equal",
                    GuideKind::Clearance => "guide guide-clearance",
                };
                view! { <path class=class d=path::of_form(&Form::Line(guide.from, guide.to))/> }
            })
            .collect_view()
    };
    view! { <g class="guides">{lines}</g> }
}
