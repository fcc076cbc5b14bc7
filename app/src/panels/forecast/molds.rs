//! What the sheet does over each mold: how thin, where and why, and whether it would be thick enough.

use engine::drape::{OverMold, suggest_gauge};
use engine::edit::Edit;
use engine::order;
use engine::plan::{PlacementId, Plan, PullId, Stock};
use engine::units::{Length, LengthStyle};

use super::advisor::TRY;
use super::use_forecaster;
use crate::panels::change::{change, change_settings, say_done};
use crate::platform::focus_next;
use crate::reactive::prelude::*;
use crate::state::{Action, Store, placement_name, use_store};
use crate::widgets::{Button, MaybeLengthField, use_lengths};

/// The least wall that is wanted, and the gauge for it.
#[component]
pub(super) fn Wall() -> impl IntoView {
    let store = use_store();
    let value = Signal::derive(move || store.with(|s| s.plan().settings.least_wall));
    let style = use_lengths();
    let forecaster = use_forecaster();
    let advice = live(move || {
        let wall = value.get()?;
        let told = forecaster.told()?;
        let advice = suggest_gauge(&told.forecast, wall)?;
        let shown = |length: Length| style.get().show_gauge(length);
        let least = shown(advice.least);
        let words = match advice.sold {
            sold if advice.is_enough(told.forecast.gauge) => {
                let thinner = sold.map(|sold| format!(" {} would do as well.", shown(sold)));
                format!("The sheet chosen is thick enough.{}", thinner.unwrap_or_default())
            }
            Some(sold) => format!(
                "For this wall everywhere, sheet of {least} or more: {} is commonly sold.",
                shown(sold)
            ),
            None => format!(
                "For this wall everywhere, sheet of {least} or more, which is thicker than is commonly sold: change the \
                 layout or the molds first."
            ),
        };
        let button = advice.sold.map(|sold| {
            let spoken = format!("Take this gauge: {}", shown(sold));
            view! {
                <Button
                    label="Take this gauge"
                    spoken=Signal::stored(spoken)
                    press=move |()| take(store, sold, style.get_untracked())
                />
            }
        });
        Some(view! {
            <p class="derived">{words}</p>
            {button}
        })
    });
    view! {
        <LeastWall/>
        {advice}
    }
}

/// Gives the pull's sheet a gauge: one step to undo.
fn take(store: Store, gauge: Length, style: LengthStyle) {
    let pull = store.pull().get_untracked();
    let edit = store.peek(|session| {
        let plan = session.plan();
        Edit::sheet_of_pull(plan, pull, Stock { gauge, ..*plan.stock_of_pull(pull) })
    });
    if change(store, edit).is_ok() {
        let gauge = style.show_gauge(gauge);
        say_done(store, format!("Sheet of {gauge} is taken. Undo brings the gauge before back."));
        // The button goes with the next forecast.
        focus_next(vec![TRY.to_owned()]);
    }
}

/// The field for the least wall that is wanted.
#[component]
pub(crate) fn LeastWall() -> impl IntoView {
    let store = use_store();
    let value = Signal::derive(move || store.with(|s| s.plan().settings.least_wall));
    let commit = move |wall| change_settings(store, |settings| settings.least_wall = wall);
    view! {
        <div class="fields">
            <MaybeLengthField
                label="Least wall wanted"
                value
                commit
                hint="The forecast warns of thinner walls; leave it empty to be warned of none"
                given=engine::defaults::Given::LeastWall
            />
        </div>
    }
}

/// One row a mold, the thinnest first.
#[component]
pub(super) fn Molds() -> impl IntoView {
    let forecaster = use_forecaster();
    let rows = live(move || {
        let (told, plan) = (forecaster.told()?, forecaster.told_plan()?);
        let pull = told.pull();
        let mut molds: Vec<(PlacementId, OverMold)> =
            told.forecast.molds.iter().map(|(id, over)| (*id, *over)).collect();
        order::by(&mut molds, |a, b| {
            a.1.thinnest.ratio.total_cmp(&b.1.thinnest.ratio).then(a.0.cmp(&b.0))
        });
        let rows = molds.into_iter().map(|(id, over)| {
            let row = Row::of(&plan, pull, id, &over, told.forecast.gauge);
            view! { <OneMold row/> }
        });
        Some(rows.collect_view())
    });
    view! {
        <h3>"Each mold"</h3>
        <p class="panel-note">
            "The thinnest is told of a patch as large as a disc of 14 mm (0.55 in); single points may be thinner."
        </p>
        <ul class="over-molds">{rows}</ul>
    }
}

/// One mold in words.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    id: PlacementId,
    name: String,
    thinnest: String,
    share: String,
    place: String,
    mean: String,
    is_low: bool,
}

impl Row {
    fn of(plan: &Plan, pull: PullId, id: PlacementId, over: &OverMold, gauge: Length) -> Self {
        let style = plan.settings.lengths;
        let thinnest = gauge * over.thinnest.ratio;
        Self {
            id,
            name: placement_name(plan, pull, id),
            thinnest: style.show_gauge(thinnest),
            share: format!("{:.0} % of the gauge", over.thinnest.ratio * 100.0),
            place: over.thinnest.why.words(plan, pull),
            mean: format!("{} on average", style.show_gauge(gauge * over.mean)),
            is_low: plan.settings.least_wall.is_some_and(|least| thinnest < least),
        }
    }
}

#[component]
fn OneMold(row: Row) -> impl IntoView {
    let store = use_store();
    let Row { id, name, thinnest, share, place, mean, is_low } = row;
    let low = is_low.then(|| view! { <span class="too-thin">" under the least wall"</span> });
    let spoken = format!("Select {name} on the board");
    view! {
        <li class="over-mold">
            <button
                type="button"
                class="over-mold-name"
                aria-label=spoken
                on:click=move |_| store.dispatch(Action::Select([id].into()))
            >
                {name}
            </button>
            <p class="over-mold-figure">
                <strong>{thinnest}</strong>
                " "
                {share}
                {low}
            </p>
            <p class="panel-note">{format!("Thinnest {place}. {mean}.")}</p>
        </li>
    }
}
