//! Which molds are meant: how many copies of each, and what one is worth.

use engine::plan::MoldId;

use super::use_arranger;
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::{CountField, NumberField, Show, Toggle};

/// How many copies of each mold.
#[component]
pub(super) fn SetFields() -> impl IntoView {
    let store = use_store();
    let choice = use_arranger().choice;
    let ids = molds();
    let field = move |id: MoldId| {
        let label = Signal::derive(move || {
            store.with(|session| {
                let mold = session.plan().molds.get(&id);
                mold.map(|mold| format!("{}, of {}", mold.name, mold.copies)).unwrap_or_default()
            })
        });
        let value = Signal::derive(move || {
            store.with(|s| choice.with(|choice| choice.count(s.plan(), s.pull, id)))
        });
        let commit = move |count: u32| {
            choice.update(|choice| {
                choice.counts.insert((choice.end, id), count);
            });
            let now = value.get_untracked();
            if now == count {
                return Ok(());
            }
            Err(format!(
                "It is {now}: no more exist than the list of molds says, and locked ones stay."
            ))
        };
        view! { <CountField label value commit/> }
    };
    view! {
        <fieldset class="set">
            <legend>"Which molds, and how many of each"</legend>
            <div class="fields">
                <For each=move || ids.get() key=|id| *id children=field/>
            </div>
        </fieldset>
        <p class="panel-note" hidden=move || ids.with(|ids| !ids.is_empty())>
            "No molds yet: add some under Molds."
        </p>
    }
}

/// Whether molds differ in worth, and then what one copy of each counts.
#[component]
pub(super) fn Values() -> impl IntoView {
    let store = use_store();
    let choice = use_arranger().choice;
    let ids = molds();
    let has_values = memo(move |_| choice.with(|choice| choice.has_values));
    let field = move |id: MoldId| {
        let label = Signal::derive(move || {
            store.with(|session| {
                let mold = session.plan().molds.get(&id);
                mold.map(|mold| format!("Worth of one {}", mold.name)).unwrap_or_default()
            })
        });
        let value = Signal::derive(move || {
            choice.with(|choice| choice.values.get(&id).copied().unwrap_or(1.0))
        });
        let commit = move |worth: f64| {
            if worth < 0.0 {
                return Err(format!("A worth of {worth} cannot be weighed; give it 0 or more."));
            }
            choice.update(|choice| {
                choice.values.insert(id, worth);
            });
            Ok(())
        };
        view! { <NumberField label value commit given=engine::defaults::Given::Worth/> }
    };
    view! {
        <Toggle
            label="Some are worth more than others"
            on=has_values
            turn=move |on| choice.update(|choice| choice.has_values = on)
        />
        <Show when=move || has_values.get()>
            <div class="fields">
                <For each=move || ids.get() key=|id| *id children=field/>
            </div>
        </Show>
    }
}

fn molds() -> Memo<Vec<MoldId>> {
    let store = use_store();
    memo(move |_| store.with(|s| s.plan().molds.keys().copied().collect()))
}
