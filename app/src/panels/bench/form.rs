//! What is noted of a pull before it is logged: seconds, sag, how it came out and where, words and a photo.

use std::collections::BTreeSet;

use engine::order;
use engine::record::{Outcome, PullRecord};
use engine::units::{Length, Seconds, Temperature};
use leptos::ev::Event;

use super::keeper::Bench;
use super::words;
use super::words::maybe_number;
use crate::platform::{chosen_files, find_photo};
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::{Button, Committed, MaybeLengthField, TextField, use_lengths};

/// The form, while a pull is going on.
pub(super) fn form(bench: Bench) -> AnyView {
    let id = memo(move |_| bench.running.with(|running| running.as_ref().map(|r| r.id)));
    (move || id.get().map(|_| fields(bench))).into_any()
}

fn fields(bench: Bench) -> AnyView {
    let style = use_lengths();
    let sag = move |sag: Option<Length>| bench.note(|record| record.sag = sag);
    let notes = move |notes: String| bench.note(|record| record.notes = notes);
    // A tab that dies takes what is typed along unless it is kept letter by letter; what is too long is told when the field is left.
    let jot = move |event: Event| drop(notes(event_target_value(&event)));
    let hint = move || format!("Empty when not measured; shown in {}", unit(style.get()));
    view! {
        <section class="sub bench-form" aria-labelledby="bench-form-title">
            <h3 id="bench-form-title">"How it came out"</h3>
            {results(bench)}
            {places(bench)}
            <div class="fields">
                {number(
                    bench,
                    "Seconds to forming",
                    |record| record.heated.map(Seconds::get),
                    |record, value| record.heated = value.map(Seconds::new),
                )}
                {number(
                    bench,
                    "Seconds to cool",
                    |record| record.cooled.map(Seconds::get),
                    |record, value| record.cooled = value.map(Seconds::new),
                )}
                <MaybeLengthField
                    label="Sag when it was drawn"
                    value=of(bench, |record| record.sag)
                    commit=sag
                    hint=Signal::derive(hint)
                />
                {number(
                    bench,
                    "Room, \u{b0}C",
                    |record| record.room.map(Temperature::to_celsius),
                    |record, value| record.room = value.map(Temperature::celsius),
                )}
                <div on:input=jot>
                    <TextField
                        label="Notes"
                        value=of(bench, |record| record.notes.clone())
                        commit=notes
                    />
                </div>
            </div>
            {photo(bench)}
            <div class="bench-row">
                <button type="button" id="bench-log" class="button button-main bench-big" on:click=move |_| bench.log()>
                    "Log this pull"
                </button>
            </div>
        </section>
    }
    .into_any()
}

const fn unit(style: engine::units::LengthStyle) -> &'static str {
    match style {
        engine::units::LengthStyle::Millimetres => "millimetres",
        _ => "inches",
    }
}

/// What is known of the running pull.
fn of<T: Default + Clone + PartialEq + Send + Sync + 'static>(
    bench: Bench,
    read: fn(&PullRecord) -> T,
) -> Signal<T> {
    Signal::derive(move || {
        bench.running.with(|running| running.as_ref().map(|r| read(&r.record)).unwrap_or_default())
    })
}

/// A number that may be left empty.
fn number(
    bench: Bench,
    label: &'static str,
    read: fn(&PullRecord) -> Option<f64>,
    write: fn(&mut PullRecord, Option<f64>),
) -> AnyView {
    let value = of(bench, read);
    let shown = Signal::derive(move || value.get().map(words::factor).unwrap_or_default());
    let commit = move |text: String| -> Committed {
        let value = maybe_number(&text)?;
        bench.note(|record| write(record, value))
    };
    view! { <TextField label value=shown commit/> }.into_any()
}

/// A large button for each outcome.
fn results(bench: Bench) -> AnyView {
    let one = |outcome: Outcome| {
        let is_on = memo(move |_| {
            bench.running.with(|running| running.as_ref().is_some_and(|r| r.record.is(outcome)))
        });
        view! {
            <button
                type="button"
                class="button button-plain bench-big bench-result"
                aria-pressed=move || if is_on.get() { "true" } else { "false" }
                on:click=move |_| turn(bench, outcome)
            >
                {words::capital(outcome.word())}
            </button>
        }
    };
    view! { <div class="bench-row" role="group" aria-label="How it came out">{Outcome::ALL.map(one)}</div> }
        .into_any()
}

/// Good, or what went wrong: the one takes the other back.
fn turn(bench: Bench, outcome: Outcome) {
    // Every set of outcomes made here is one that a log takes.
    let _ = bench.note(|record| {
        if record.outcomes.remove(&outcome).is_some() {
            return;
        }
        match outcome {
            Outcome::Good => record.outcomes.clear(),
            _ => drop(record.outcomes.remove(&Outcome::Good)),
        }
        record.outcomes.insert(outcome, BTreeSet::new());
    });
}

/// Where it webbed or thinned: the molds on the board.
fn places(bench: Bench) -> AnyView {
    let asked = memo(move |_| {
        bench.running.with(|running| {
            let outcomes = running.as_ref().map(|r| r.record.outcomes.keys().copied());
            outcomes.into_iter().flatten().filter(|o| o.has_place()).collect::<Vec<_>>()
        })
    });
    (move || asked.get().into_iter().map(|outcome| place(bench, outcome)).collect_view()).into_any()
}

fn place(bench: Bench, outcome: Outcome) -> AnyView {
    let store = use_store();
    let on_board = store.with(|session| {
        let placements = session.shown_pull().into_iter().flat_map(|pull| pull.placements.values());
        let molds = placements.filter_map(|placement| session.plan().molds.get(&placement.mold));
        order::set(molds.map(|mold| mold.name.clone()))
    });
    let named =
        move |record: &PullRecord| record.outcomes.get(&outcome).cloned().unwrap_or_default();
    let said = bench.running.with_untracked(|r| r.as_ref().map(|r| named(&r.record)));
    let names = order::set(on_board.into_iter().chain(said.unwrap_or_default()));
    let trouble = RwSignal::new(None::<String>);
    let one = move |name: String| {
        let is_on = {
            let name = name.clone();
            move || {
                bench.running.with(|r| r.as_ref().is_some_and(|r| named(&r.record).contains(&name)))
            }
        };
        let shown = name.clone();
        let choose = move |event: Event| {
            let (is_on, name) = (event_target_checked(&event), name.clone());
            let noted = bench.note(|record| {
                let molds = record.outcomes.entry(outcome).or_default();
                if is_on {
                    molds.insert(name);
                } else {
                    molds.remove(&name);
                }
            });
            trouble.set(noted.err());
        };
        view! {
            <label class="toggle">
                <input type="checkbox" prop:checked=is_on on:change=choose/>
                <span>{shown}</span>
            </label>
        }
    };
    view! {
        <fieldset class="bench-where">
            <legend>{format!("{} where? (if you can tell)", words::capital(outcome.word()))}</legend>
            {names.into_iter().map(one).collect_view()}
            <p class="field-error">{move || trouble.get()}</p>
        </fieldset>
    }
    .into_any()
}

/// The photo of the pull, or the button for one.
fn photo(bench: Bench) -> AnyView {
    let id = memo(move |_| of(bench, |record| record.photo).get());
    let choose = move |event: Event| {
        if let Some(file) = chosen_files(&event).into_iter().next() {
            bench.photograph(file);
        }
    };
    view! {
        <div class="row">
            <label class="button button-plain file-button">
                {move || if id.get().is_some() { "Another photo" } else { "Add a photo" }}
                <input
                    type="file"
                    id="bench-photo"
                    class="unseen"
                    accept="image/*"
                    capture="environment"
                    on:change=choose
                />
            </label>
            <span hidden=move || id.get().is_none()>
                <Button
                    label="Take the photo off"
                    kind="quiet"
                    press=move |()| drop(bench.note(|record| record.photo = None))
                />
            </span>
        </div>
        {move || id.get().map(|photo| picture(photo.0, "The photo of this pull".to_owned()))}
    }
    .into_any()
}

/// A kept photo, or that it is not in this browser.
pub(super) fn picture(id: u64, says: String) -> AnyView {
    let address = RwSignal::new(None::<Option<String>>);
    find_photo(id, move |found| {
        // The panel may be gone by now.
        let _ = address.try_set(Some(found));
    });
    (move || match address.get() {
        None => ().into_any(),
        Some(None) => {
            view! { <p class="panel-note">"Its photo is not in this browser."</p> }.into_any()
        }
        Some(Some(src)) => view! { <img class="bench-photo" src=src alt=says.clone()/> }.into_any(),
    })
    .into_any()
}
