//! What is added while a hand moves molds: the clearance they keep, the gaps round them, and what they snap to.

use engine::drawing::{Form, Mark, Role};
use engine::moves::GuideKind;
use leptos::prelude::*;

use super::super::state::BoardState;
use super::path;

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
    let figures = move || {
        focus.with(|marks| marks.iter().filter_map(figure).collect::<Vec<_>>()).collect_view()
    };
    view! {
        <path class="gap gap-under" d=data/>
        <path class="gap" d=data/>
        {figures}
    }
}

/// One figure at its gap.
fn figure(mark: &Mark) -> Option<impl IntoView + use<>> {
    let Form::Text { at, text, .. } = &mark.form else { return None };
    (mark.role == Role::GapFigure).then(|| {
        view! {
            <g transform=format!("translate({:.3} {:.3})", at.x, at.y)>
                <text class="constant gap-figure">{text.clone()}</text>
            </g>
        }
    })
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
