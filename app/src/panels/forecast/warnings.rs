//! What the forecast warns of, worst first: each with its shape, its word, why and what to do.

use engine::drape::Finding;
use engine::drawing::{Diagram, explain_forecast};
use engine::order;
use engine::plan::{Plan, PullId};
use engine::rules::Subject;
use works::picture;

use super::advisor::TRY;
use super::changes::Trying;
use super::use_forecaster;
use crate::panels::explain::explain;
use crate::panels::severity::SeverityShape;
use crate::reactive::prelude::*;
use crate::state::{Action, Store};

/// More warnings than this are counted and not listed: the first ones are the worst.
const LISTED: usize = 12;

/// The list of warnings; each selects what it is about.
#[component]
pub(super) fn Warnings() -> impl IntoView {
    let forecaster = use_forecaster();
    let found = forecaster.found();
    let rows = live(move || {
        let (told, plan) = (forecaster.told()?, forecaster.told_plan()?);
        let rows = found.with(|found| {
            let rows = found.iter().enumerate().take(LISTED);
            rows.map(|one| row(one, (&plan, told.pull()), forecaster.store)).collect_view()
        });
        Some(rows)
    });
    let more = live(move || {
        let more = found.with(|found| found.len().saturating_sub(LISTED));
        (more > 0)
            .then(|| view! { <p class="panel-note">{format!("And {more} more, none worse.")}</p> })
    });
    let is_clean = move || forecaster.has_told() && found.with(|found| found.is_empty());
    view! {
        <h3>"What it warns of"</h3>
        <p class="panel-note" hidden=move || !is_clean()>"Nothing."</p>
        <ol class="warnings">{rows}</ol>
        {more}
    }
}

fn row(
    (nth, finding): (usize, &Finding),
    (plan, pull): (&Plan, PullId),
    store: Store,
) -> impl IntoView + use<> {
    let severity = finding.severity;
    let ids = order::set(finding.subjects.iter().filter_map(|subject| match subject {
        Subject::Placement(id) => Some(*id),
        Subject::Mold(_) | Subject::Stock => None,
    }));
    let select = move |_| {
        if !ids.is_empty() {
            store.dispatch(Action::Select(ids.clone()));
        }
    };
    let (title, style) = (finding.title(plan, pull), plan.settings.lengths);
    let (asked, of) = (finding.clone(), Some((nth, finding.clone())));
    let spoken = format!("Try what helps: {title}");
    let drawn = move || {
        let Diagram { drawing, says } = explain_forecast(&asked, style);
        picture(&drawing, &says)
    };
    view! {
        <li>
            <button type="button" class=format!("finding finding-{}", severity.word()) on:click=select>
                <SeverityShape severity/>
                <span class="finding-words">
                    <span class="finding-title">
                        <span class="finding-severity">{severity.word()}</span>
                        " "
                        {finding.title(plan, pull)}
                    </span>
                    <span class="finding-reason">{finding.reason(plan, pull)}</span>
                    <span class="finding-next">{finding.next_step()}</span>
                </span>
            </button>
            {explain(Signal::stored(title), drawn)}
            <div class="remedies">
                <Trying of label="Try what helps" spoken id=format!("{TRY}-{nth}")/>
            </div>
        </li>
    }
}
