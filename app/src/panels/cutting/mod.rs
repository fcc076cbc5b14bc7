//! The cutting panel: how sheets are cut into blanks, drawn and in steps; offcuts; which size of blank wastes least.

mod fields;
mod offcuts;
mod sizes;

use std::sync::Arc;

use engine::file::save;
use engine::plan::{CuttingHabits, Size, Stock};
use engine::units::LengthStyle;
use works::Ask;

use super::desk::{PanelKey, use_desk};
use super::told::Told;
use crate::platform::{focus_next, kept_further_blanks};
use crate::reactive::prelude::*;
use crate::state::{Store, use_store};
use crate::widgets::{Button, use_voice};
use fields::fields;
use offcuts::{after_cutting, offcuts};
use sizes::sizes;

/// Everything about cutting sheets into blanks.
pub(super) fn cut_panel() -> AnyView {
    let store = use_store();
    let told = Told::new();
    let key = memo(move |_| key(store));
    let further = RwSignal::new(kept_further_blanks());
    Effect::new(move |_| {
        key.with(|_| ());
        let further = further.get();
        told.ask(store.peek(|session| Ask::Cut { plan: save(session.plan()), further }));
    });
    use_voice().follow(move || told.summary());
    let desk = use_desk();
    let print = move |()| {
        desk.panel.set(PanelKey::Print);
        focus_next(vec!["make-cuts".to_owned()]);
    };
    let is_idle = Signal::derive(move || told.shown.with(Option::is_none));
    view! {
        <h2>"Cut sheets into blanks"</h2>
        {fields(store, further)}
        {told.view()}
        <div class="row">
            <Button label="Print the cut list" press=print disabled=is_idle/>
            {after_cutting(store, told)}
        </div>
        {offcuts(store)}
        {sizes(store, key)}
    }
    .into_any()
}

/// All of a plan that cutting rests on.
type Key = (Size, Stock, Arc<CuttingHabits>, LengthStyle);

fn key(store: Store) -> Key {
    store.with(|session| {
        let plan = session.plan();
        (plan.machine.blank, plan.stock, Arc::clone(&plan.cutting), plan.settings.lengths)
    })
}
