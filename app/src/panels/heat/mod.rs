//! The heat's panel: the heater as far as it is known, and times as ranges that the sag has the last word over.

mod choice;

use engine::defaults::Given;
use engine::file::save;
use works::{Ask, HeaterSaid};

pub(crate) use choice::{Heat, provide_heat, use_heat};

use super::told::Told;
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::{Committed, NumberField, Radios, use_voice};

/// How the sheet is heated and cooled.
pub(super) fn heat_panel() -> AnyView {
    let store = use_store();
    let heat = use_heat();
    let heater = heat.guess;
    let told = Told::new();
    let key = memo(move |_| {
        (heat.said(), store.with(|session| *session.plan().stock_of_pull(session.pull)))
    });
    Effect::new(move |_| {
        let heater = key.get().0;
        told.ask(store.peek(|session| Ask::Heat {
            plan: save(session.plan()),
            pull: session.pull.0,
            heater,
        }));
    });
    use_voice().follow(move || told.summary());
    view! {
        <h2>"Heat"</h2>
        <p class="heat-watch">"Watch the sag, not the clock."</p>
        <p class="panel-note">
            "Times are ranges to begin to watch by. The sheet decides: form when it sags evenly, and let the first pull of a \
             layout be a test."
        </p>
        {fields(heater)}
        {told.view()}
    }
    .into_any()
}

/// What the maker knows of the heater.
fn fields(heater: RwSignal<HeaterSaid>) -> AnyView {
    let sides = vec![
        (false, "One side".to_owned(), "The other face loses heat to the air.".to_owned()),
        (true, "Both sides".to_owned(), "Both faces take up the same.".to_owned()),
    ];
    let flux = move |n: usize| Signal::derive(move || heater.get().flux[n]);
    let set = move |n: usize| {
        move |kilowatts: f64| -> Committed {
            if !(0.1..=120.0).contains(&kilowatts) {
                return Err(
                    "Give 0.1 to 120 kW/m\u{b2}; common bench heaters give 5 to 10.".to_owned()
                );
            }
            heater.update(|heater| heater.flux[n] = kilowatts);
            Ok(())
        }
    };
    view! {
        <Radios
            label="The heater reaches"
            options=sides
            value=Signal::derive(move || heater.get().is_both)
            choose=move |is_both| heater.update(|heater| heater.is_both = is_both)
        />
        <div class="fields">
            <NumberField
                label="A side takes up, at least"
                value=flux(0)
                commit=set(0)
                hint="kW/m\u{b2}; 5 to 10 is our guess for bench heaters"
                given=Given::FluxLeast
            />
            <NumberField label="At most" value=flux(1) commit=set(1) hint="kW/m\u{b2}" given=Given::FluxMost/>
        </div>
    }
    .into_any()
}
