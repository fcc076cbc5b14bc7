//! How far a mold draws the sheet: each figure with what it means beside it.

use std::sync::Arc;

use engine::physics::{
    AREAL, Definition, Draw, HEIGHT_TO_WIDTH, LINEAR, MEAN_THICKNESS, mean_thickness,
};
use engine::plan::Mold;

use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::use_lengths;

/// The draw of a mold over the gauge of the pull on the board.
#[component]
pub(super) fn Figures(
    /// The mold.
    mold: Memo<Arc<Mold>>,
) -> impl IntoView {
    let store = use_store();
    let style = use_lengths();
    let gauge =
        memo(move |_| store.with(|session| session.plan().stock_of_pull(session.pull).gauge));
    let rows = live(move || {
        let Some(draw) = mold.with(|mold| Draw::of(mold)) else {
            return view! { <p class="panel-note">"No figures: the footprint has no surface."</p> }
                .into_any();
        };
        let style = style.get();
        let thickness = mean_thickness(gauge.get(), draw.areal);
        let share = 100.0 / draw.areal;
        let thickness = format!("{} ({share:.0} %)", style.show_gauge(thickness));
        let ratio = |value: f64| format!("{value:.2}");
        view! {
            <dl class="figures">
                <Figure definition=AREAL value=ratio(draw.areal)/>
                <Figure definition=MEAN_THICKNESS value=thickness/>
                <Figure definition=HEIGHT_TO_WIDTH value=ratio(draw.height_to_width)/>
                {draw.linear.map(|linear| view! { <Figure definition=LINEAR value=ratio(linear)/> })}
            </dl>
        }
        .into_any()
    });
    view! { <section class="figures-box" aria-label="Draw">{rows}</section> }
}

#[component]
fn Figure(definition: Definition, value: String) -> impl IntoView {
    view! {
        <div class="figure">
            <dt>{definition.name}</dt>
            <dd class="figure-value">{value}</dd>
            <dd class="figure-says">{definition.says}</dd>
        </div>
    }
}
