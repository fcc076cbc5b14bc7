//! The arranger's panel: what to lay out and to what end, how far it is, and what came of it.

mod arranger;
mod choice;
mod outcome;
mod progress;
mod set;

use arranger::BEGIN;
pub(crate) use arranger::{Arranger, GhostKind, Ghosts, provide_arranger, use_arranger};
use choice::{End, Patience};
use outcome::OutcomeView;
use progress::search_progress;
use set::{SetFields, Values};

use crate::reactive::prelude::*;
use crate::widgets::{Button, Choice as List, Radios, Show, Toggle};

/// The aims of a spread, in the order of their weights.
const AIMS: [&str; 4] = [
    "Room: the smallest gap above the rule as large as it gets",
    "Tall molds in the middle of the heat",
    "Long walls parallel to the frame",
    "Long faces turned away from each other",
];

/// What to lay out, and what came of it.
#[component]
pub(crate) fn Arrange() -> impl IntoView {
    let arranger = use_arranger();
    arranger.warm_up();
    let choice = arranger.choice;
    let end = memo(move |_| choice.with(|choice| choice.end));
    let ends = End::ALL.map(|end| (end, end.name().to_owned(), end.words().to_owned())).to_vec();
    let is_running = memo(move |_| arranger.run.with(Option::is_some));
    view! {
        <h2>"Arrange"</h2>
        <p class="panel-note">
            "The page looks for a layout that keeps the rules of Settings. Locked molds stay where they are, and the plan "
            "stays as it is until you take what is offered."
        </p>
        <Radios
            label="What for"
            options=ends
            value=end
            choose=move |end| choice.update(|choice| choice.end = end)
        />
        <Show when=move || end.get().has_set()>
            <SetFields/>
        </Show>
        <Show when=move || end.get() == End::Most>
            <Values/>
        </Show>
        <Show when=move || end.get() == End::Spread>
            <AimFields/>
        </Show>
        <PatienceField/>
        <div class="row">
            <Button
                label=Signal::derive(move || end.get().name().to_owned())
                kind="main"
                press=move |()| arranger.begin()
                disabled=is_running
                id=BEGIN
            />
        </div>
        <Show when=move || is_running.get()>
            {search_progress()}
        </Show>
        <OutcomeView/>
    }
}

/// What matters in a spread.
#[component]
fn AimFields() -> impl IntoView {
    let choice = use_arranger().choice;
    let toggles = AIMS
        .iter()
        .enumerate()
        .map(|(at, label)| {
            let on = Signal::derive(move || choice.with(|choice| choice.aims[at]));
            let turn = move |on| choice.update(|choice| choice.aims[at] = on);
            view! { <Toggle label=(*label).to_owned() on turn/> }
        })
        .collect_view();
    view! {
        <fieldset class="aims">
            <legend>"What matters"</legend>
            {toggles}
        </fieldset>
        <p class="field-hint">
            "All four are common practice in the trade, in this order of weight; room counts most."
        </p>
    }
}

/// How long to try at most.
#[component]
fn PatienceField() -> impl IntoView {
    let choice = use_arranger().choice;
    let options = Patience::ALL.map(|one| (one, one.words().to_owned())).to_vec();
    view! {
        <div class="fields">
            <List
                label="How long to try"
                options
                value=Signal::derive(move || choice.with(|choice| choice.patience))
                commit=move |patience| {
                    choice.update(|choice| choice.patience = patience);
                    Ok(())
                }
                hint="It ends sooner when nothing is left to look for"
            />
        </div>
    }
}
