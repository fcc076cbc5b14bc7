//! The heat's panel: the heater as far as it is known, and times as ranges that the sag has the last word over.

mod choice;

use engine::file::save;
use leptos::prelude::*;
use works::{Answer, Ask, HeatTold, HeaterSaid};

pub(crate) use choice::{Heat, provide_heat, use_heat};

use super::told::{Told, trouble};
use crate::state::{Store, use_store};
use crate::widgets::{Committed, NumberField, Radios};

/// How the sheet is heated and cooled.
pub(super) fn heat_panel() -> AnyView {
    let store = use_store();
    let heater = use_heat().0;
    let told = Told::new();
    let key = Memo::new(move |_| (heater.get(), store.with(|session| session.plan().stock)));
    Effect::new(move |_| {
        let (heater, _) = key.get();
        told.ask(ask(store, choice::known(heater, None)), |answer| match answer {
            Answer::Heated(told) => Some(*told),
            _ => None,
        });
    });
    view! {
        <h2>"Heat"</h2>
        <p class="heat-watch">"Watch the sag, not the clock."</p>
        <p class="panel-note">
            "Times are ranges to begin to watch by. The sheet decides: form when it sags evenly, and let the first pull of a \
             layout be a test."
        </p>
        {move || told.shown.with(|shown| shown.as_ref().map(times))}
        {trouble(told.trouble)}
        {fields(heater)}
        {move || told.shown.with(|shown| shown.as_ref().map(rest))}
    }
    .into_any()
}

fn ask(store: Store, heater: HeaterSaid) -> Ask {
    store.peek(|session| Ask::Heat { plan: save(session.plan()), heater })
}

/// The three ranges, what they rest on, and a warning where the heat is too strong.
fn times(told: &HeatTold) -> AnyView {
    let rows = told.times.iter().cloned().map(|[name, words]| {
        view! { <dt>{name}</dt><dd>{words}</dd> }
    });
    let turn_down = told.turn_down.clone();
    view! {
        <dl class="heat-times">{rows.collect_view()}</dl>
        <p class="panel-note">{told.basis.clone()}</p>
        {turn_down.map(|words| view! { <p class="warning">{words}</p> }.into_any())}
    }
    .into_any()
}

fn rest(told: &HeatTold) -> AnyView {
    let rows = told.told.iter().cloned().map(|[name, words]| {
        view! { <h3>{name}</h3><p>{words}</p> }
    });
    view! { <section class="sub heat-told">{rows.collect_view()}</section> }.into_any()
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
        <section class="sub">
            <h3>"The heater"</h3>
            <Radios
                label="It heats"
                options=sides
                value=Signal::derive(move || heater.get().is_both)
                choose=move |is_both| heater.update(|heater| heater.is_both = is_both)
            />
            <div class="fields">
                <NumberField
                    label="A side takes up, at least"
                    value=flux(0)
                    commit=set(0)
                    hint="kW/m\u{b2}; 5 to 10 is a guess for common bench heaters"
                />
                <NumberField label="At most" value=flux(1) commit=set(1) hint="kW/m\u{b2}"/>
            </div>
        </section>
    }
    .into_any()
}
