//! What came of planning a batch: pulls with their counts, bounds, bottlenecks, cost and time.

use engine::plan::PullId;
use works::{BatchLayout, Batched};

use super::planner::{END, Outcome, Planner};
use crate::reactive::prelude::*;
use crate::state::{Action, use_store};
use crate::widgets::Button;

/// The outcome, when there is one.
pub(super) fn outcome_view(planner: Planner) -> AnyView {
    let outcome = move || planner.outcome.get().map(|outcome| shown(planner, outcome));
    outcome.into_any()
}

fn shown(planner: Planner, Outcome { batched, offer, .. }: Outcome) -> AnyView {
    let Batched { title, sentences, layouts, costs, own_blanks, .. } = batched;
    let sentences = sentences.into_iter().map(|words| view! { <p>{words}</p> }.into_any());
    let has_new = layouts.iter().any(|layout| layout.is_new);
    let rows: Vec<AnyView> = layouts.into_iter().map(|layout| row(planner, layout)).collect();
    let costs = costs.into_iter().map(|(what, much)| {
        view! { <div class="figure"><dt>{what}</dt><dd class="figure-value">{much}</dd></div> }
            .into_any()
    });
    let stale = live(move || {
        planner.is_stale().then(|| {
            view! { <p class="warning">"The plan has changed since. Plan the batch again for figures that hold."</p> }
        })
    });
    let is_stale = Signal::derive(move || planner.is_stale());
    let take = offer.is_some().then(|| {
        view! {
            <Button
                label=if has_new { "Put these layouts in the plan" } else { "Keep this order with the plan" }
                kind="main"
                press=move |()| planner.accept()
                disabled=is_stale
                id="batch-accept"
            />
        }
        .into_any()
    });
    let cut = (own_blanks > 0).then(|| {
        let press = move |()| planner.cut_blanks();
        view! { <Button label="Cut the blanks for this batch" press disabled=is_stale/> }.into_any()
    });
    view! {
        <section class="sub batch-outcome" aria-label="The planned batch">
            <h3>{title}</h3>
            {stale}
            {sentences.collect::<Vec<_>>()}
            <table class="batch-table" id=END>
                <thead><tr><th>"Times"</th><th>"Layout"</th><th>"On it"</th></tr></thead>
                <tbody>{rows}</tbody>
            </table>
            <h3>"Cost and time"</h3>
            <dl class="figures">{costs.collect::<Vec<_>>()}</dl>
            <div class="row">
                {take}
                {cut}
                <Button label="Save as a table (CSV)" press=move |()| planner.save_table()/>
            </div>
        </section>
    }
    .into_any()
}

/// One layout; its name leads to it once it is in the plan.
fn row(planner: Planner, layout: BatchLayout) -> AnyView {
    let store = use_store();
    let BatchLayout { name, pull, is_new, molds, sheet, times } = layout;
    let is_there = !is_new
        || planner
            .outcome
            .with_untracked(|one| one.as_ref().is_some_and(|one| one.offer.is_none()));
    let shown = if is_there {
        let label = name.clone();
        let open = move |()| store.dispatch(Action::ShowPull(PullId(pull)));
        view! { <Button label kind="quiet" press=open/> }.into_any()
    } else {
        name.into_any()
    };
    view! {
        <tr>
            <td>{times}</td>
            <td>{shown}</td>
            <td>{molds}<br/><span class="field-hint">{sheet}</span></td>
        </tr>
    }
    .into_any()
}
