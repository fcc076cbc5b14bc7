//! The blank, its clamp lip, the opening and the platen: what does not move.

use engine::drawing::Role;

use super::super::state::BoardState;
use super::super::viewport::Viewport;
use super::path;
use crate::reactive::prelude::*;

/// From one line of the hatching to the next, in pixels.
const HATCH_PX: f64 = 7.0;

/// The parts of the machine with their classes, the lowest first.
const PARTS: [(Role, &str); 5] = [
    (Role::Blank, "blank"),
    (Role::Platen, "platen"),
    (Role::CentreLine, "centre-line"),
    (Role::ClampLip, "clamp-lip"),
    (Role::Opening, "opening"),
];

/// The machine under the molds.
#[component]
pub(in super::super) fn Machine(board: BoardState) -> impl IntoView {
    let drawing = board.store.drawing();
    PARTS
        .map(|(role, class)| {
            let data = memo(move |_| drawing.with(|d| path::of_role(&d.marks, role)));
            view! { <path class=class d=move || data.get()/> }
        })
        .collect_view()
}

/// The hatching of the clamp lip, whose lines stay the same distance apart on the screen.
#[component]
pub(in super::super) fn Hatching(board: BoardState) -> impl IntoView {
    let scale = memo(move |_| board.view.with(Viewport::scale));
    view! {
        <pattern
            id="clamp-hatch"
            patternUnits="userSpaceOnUse"
            width=HATCH_PX
            height=HATCH_PX
            patternTransform=move || format!("scale({}) rotate(45)", 1.0 / scale.get())
        >
            <line class="hatch" x1="0" y1="0" x2="0" y2=HATCH_PX/>
        </pattern>
    }
}
