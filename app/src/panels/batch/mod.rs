//! The batch's panel: the kits, the sheets, the times, and what planning them came to.

mod fields;
mod outcome;
mod planner;
mod sheets;

use fields::{kit_fields, time_fields};
use outcome::outcome_view;
pub(crate) use planner::provide_planner;
use planner::use_planner;
use planner::{BEGIN, END};
use sheets::sheet_fields;
pub(super) use sheets::{place_of, sheet_at, sheet_options};

use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::{Button, progress};

/// What is wanted, and what came of planning it.
pub(super) fn batch() -> AnyView {
    let store = use_store();
    let planner = use_planner();
    planner.warm_up();
    let is_running = memo(move |_| planner.run.with(Option::is_some));
    let has_none = memo(move |_| {
        store.with(|session| session.plan().batch.wanted.values().all(|part| part.per_kit == 0))
    });
    let is_off = Signal::derive(move || is_running.get() || has_none.get());
    view! {
        <h2>"Batch"</h2>
        <p class="panel-note">
            "Say what a kit holds and how many kits you want. The page looks for few layouts and how often to pull each: the "
            "fewest pulls, then the fewest changes of layout. All layouts keep the rules of Settings."
        </p>
        {kit_fields(store)}
        {sheet_fields(store)}
        {time_fields(store)}
        <div class="row">
            <Button label="Plan the batch" kind="main" press=move |()| planner.begin() disabled=is_off id=BEGIN/>
        </div>
        <p class="panel-note" hidden=move || !has_none.get()>
            "No part is wanted yet: say above how many of each mold a kit holds."
        </p>
        {move || is_running.get().then(batch_progress)}
        {outcome_view(planner)}
    }
    .into_any()
}

fn batch_progress() -> AnyView {
    let planner = use_planner();
    let news = move || planner.run.get().and_then(|run| run.news);
    let found = move || match news() {
        Some(works::BatchNews { pulls: Some(pulls), at_least, .. }) => {
            format!("{pulls} pulls so far; at least {at_least}.")
        }
        _ => "No way to make all parts yet.".to_owned(),
    };
    progress(
        END,
        move || news().map(|news| news.phase),
        move || news().map(|news| (news.done, news.of)),
        found,
        view! { <Button label="Stop" press=move |()| planner.stop()/> }.into_any(),
    )
}
