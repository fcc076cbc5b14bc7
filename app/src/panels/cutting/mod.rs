//! The cutting panel: how sheets are cut into blanks, drawn and in steps; offcuts; which size of blank wastes least.

mod fields;
mod offcuts;
mod sizes;

use engine::file::save;
use leptos::prelude::*;
use works::{Answer, Ask, CutTold, PatternTold};

use super::desk::{PanelKey, use_desk};
use super::told::{Told, trouble};
use crate::platform::focus;
use crate::state::{Store, use_store};
use crate::widgets::{Button, use_voice};
use fields::fields;
use offcuts::{after_cutting, offcuts};
use sizes::sizes;

/// Everything about cutting sheets into blanks.
pub(super) fn cut_panel() -> AnyView {
    let store = use_store();
    let told = Told::new();
    let key = Memo::new(move |_| {
        store.with(|session| {
            let plan = session.plan();
            (plan.machine.blank, plan.stock, plan.cutting.clone(), plan.settings.lengths)
        })
    });
    Effect::new(move |_| {
        key.track();
        told.ask(ask(store), |answer| match answer {
            Answer::Cut(told) => Some(*told),
            _ => None,
        });
    });
    let summary = move || {
        told.shown.with(|shown| shown.as_ref().map(|told| told.summary.clone())).unwrap_or_default()
    };
    use_voice().follow(summary);
    let desk = use_desk();
    view! {
        <h2>"Cut sheets into blanks"</h2>
        {fields(store)}
        {trouble(told.trouble)}
        {move || told.shown.with(|shown| shown.as_ref().map(plan))}
        <div class="row">
            <Button
                label="Print the cut list"
                press=move |()| {
                    desk.panel.set(PanelKey::Print);
                    focus("make-cuts");
                }
                disabled=Signal::derive(move || told.shown.with(Option::is_none))
            />
            {after_cutting(store, told)}
        </div>
        {offcuts(store)}
        {sizes(store)}
    }
    .into_any()
}

fn ask(store: Store) -> Ask {
    store.peek(|session| Ask::Cut { plan: save(session.plan()) })
}

/// What to buy, then each way a sheet is cut.
fn plan(told: &CutTold) -> AnyView {
    let left: Vec<&str> = told.left.iter().map(|piece| piece.words.as_str()).collect();
    let left =
        (!left.is_empty()).then(|| format!("Left over and worth keeping: {}.", left.join("; ")));
    view! {
        <p class="derived cut-summary">{told.summary.clone()}" "{told.buy.clone()}</p>
        <p class=if told.is_amiss { "warning" } else { "panel-note" }>{told.parting.clone()}</p>
        {told.patterns.iter().map(pattern).collect_view()}
        {left.map(|left| view! { <p class="panel-note">{left}</p> }.into_any())}
    }
    .into_any()
}

fn pattern(told: &PatternTold) -> AnyView {
    let steps = told.steps.iter().cloned().map(|step| view! { <li>{step}</li> });
    view! {
        <section class="cut-pattern">
            <h3>{told.title.clone()}</h3>
            // Made by the worker out of figures alone.
            <div class="cut-picture" inner_html=told.picture.clone()></div>
            <ol class="steps">{steps.collect_view()}</ol>
        </section>
    }
    .into_any()
}
