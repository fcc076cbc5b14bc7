//! Search over actions, panels and fields: type a word of your own, Enter does it or takes you there.
//!
//! A combobox with a list, as the ARIA Authoring Practices Guide of W3C describes it: the keyboard stays in the field, and
//! the field says which hit is meant.

mod look;
mod table;

use std::collections::BTreeSet;

use leptos::ev::KeyboardEvent;

use crate::panels::{Desk, use_desk};
use crate::platform::{focus_next, go_to};
use crate::reactive::prelude::*;
use crate::state::{Action, Store, use_store};
use crate::widgets::{Dialog, Show, use_voice};
use look::{Entry, Goal, entries, hits};
use table::Needs;

/// More hits than this are not shown: the nearest come first.
const MOST: usize = 12;
/// What the field is found by.
const FIELD: &str = "search-field";

/// The search, over the page while it is open.
#[component]
pub(super) fn Search() -> impl IntoView {
    let open = use_desk().search;
    view! {
        <Dialog title="Search" open>
            <Show when=move || open.get()>{field()}</Show>
        </Dialog>
    }
}

fn field() -> AnyView {
    let (store, desk) = (use_store(), use_desk());
    let all = StoredValue::new(entries());
    let asked = RwSignal::new(String::new());
    let chosen = RwSignal::new(0_usize);
    let found = memo(move |_| all.with_value(|all| hits(all, &asked.get(), MOST)));
    use_voice().follow(move || found.with(|found| counted(found)));
    // The dialog gives the keyboard to its first button.
    focus_next(vec![FIELD.to_owned()]);
    let take = move |nth: usize| {
        if let Some(entry) = found.with_untracked(|found| found.get(nth).copied()) {
            desk.search.set(false);
            reach(store, desk, entry);
        }
    };
    let key = move |event: KeyboardEvent| {
        let count = found.with_untracked(Vec::len);
        let step = |by: usize| chosen.update(|nth| *nth = (*nth + by) % count.max(1));
        match event.key().as_str() {
            "ArrowDown" => step(1),
            "ArrowUp" => step(count.max(1) - 1),
            "Enter" => take(chosen.get_untracked()),
            _ => return,
        }
        event.prevent_default();
    };
    let type_in = move |event| {
        asked.set(event_target_value(&event));
        chosen.set(0);
    };
    let row = move |(nth, entry): (usize, Entry)| {
        view! {
            <li
                role="option"
                id=format!("search-{nth}")
                class="hit"
                aria-selected=move || if chosen.get() == nth { "true" } else { "false" }
                on:click=move |_| take(nth)
            >
                <span>{entry.name}</span>
                " "
                <span class="hit-place">{entry.place}</span>
            </li>
        }
    };
    let rows = live(move || found.get().into_iter().enumerate().map(row).collect_view());
    let has_none = move || found.with(Vec::is_empty);
    view! {
        <div class="field">
            <label for=FIELD>"What do you want to do?"</label>
            <input
                id=FIELD
                type="text"
                role="combobox"
                autocomplete="off"
                spellcheck="false"
                aria-expanded=move || if has_none() { "false" } else { "true" }
                aria-controls="search-hits"
                aria-autocomplete="list"
                aria-activedescendant=move || (!has_none()).then(|| format!("search-{}", chosen.get()))
                on:input=type_in
                on:keydown=key
            />
            <p class="field-hint">"Use your own words: gap, riser, paper, units. Enter does it, or takes you there."</p>
        </div>
        <ul class="hits" id="search-hits" role="listbox" aria-label="Hits" hidden=has_none>{rows}</ul>
        <p class="panel-note" hidden=move || !has_none()>
            "Nothing here is called that. Try another word for it, or fewer letters."
        </p>
    }
    .into_any()
}

fn counted(found: &[Entry]) -> String {
    match found {
        [] => "Nothing is called that.".to_owned(),
        [one] => format!("1 hit: {}, {}.", one.name, one.place),
        [first, ..] => format!("{} hits, first {}, {}.", found.len(), first.name, first.place),
    }
}

/// Does what was found, or goes there.
fn reach(store: Store, desk: Desk, Entry { name, otherwise, goal, .. }: Entry) {
    match goal {
        Goal::Panel(key) => {
            desk.panel.set(key);
            // The dialog gives the keyboard back as it closes, and only then can it be given on.
            focus_next(vec![key.names().1.to_owned()]);
        }
        Goal::In(key, needs) => {
            prepare(store, desk, needs);
            desk.panel.set(key);
            go_to(format!("{}-panel", key.names().1), name, otherwise);
        }
        Goal::Part(id) => go_to(id.to_owned(), name, ""),
        Goal::Board(command) => {
            focus_next(vec!["board".to_owned()]);
            desk.asked.set(Some(command));
        }
        Goal::Tour => desk.tour.set(Some(0)),
        Goal::Help => desk.help.set(true),
    }
}

/// Opens a form or selects a mold, so that what is asked for is in the page.
fn prepare(store: Store, desk: Desk, needs: Needs) {
    let first = store.peek(|session| {
        let standing = session.shown_pull().and_then(|pull| pull.placements.keys().next().copied());
        let selected = session.selection.first().copied().or(standing);
        let mold = selected
            .and_then(|id| session.shown_pull()?.placements.get(&id).map(|p| p.mold))
            .or_else(|| session.plan().molds.keys().next().copied());
        (session.selection.is_empty().then_some(standing).flatten(), mold)
    });
    match needs {
        Needs::Nothing => {}
        Needs::Form => {
            if desk.mold.with_untracked(Option::is_none) {
                desk.mold.set(first.1);
            }
        }
        Needs::Selection => {
            if let Some(id) = first.0 {
                store.dispatch(Action::Select(BTreeSet::from([id])));
            }
        }
    }
}
