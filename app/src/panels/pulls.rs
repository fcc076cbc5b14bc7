//! The pulls of the plan: shown, added, named and removed.

use engine::edit::Edit;
use engine::plan::{Pull, PullId};

use super::batch::{place_of, sheet_at, sheet_options};
use super::change::{change, say_done, say_refused};
use crate::reactive::prelude::*;
use crate::state::{Action, Store, use_store};
use crate::widgets::{Button, Choice, TextField};

/// The choice of the pull on the board.
#[component]
pub(crate) fn PullChoice() -> impl IntoView {
    let store = use_store();
    let options = memo(move |_| {
        store.with(|session| {
            let pulls = session.plan().pulls.iter();
            pulls.map(|(&id, pull)| (id, pull.name.clone())).collect::<Vec<_>>()
        })
    });
    let value = memo(move |_| store.with(|session| session.pull));
    let show = move |id: PullId| {
        store.dispatch(Action::ShowPull(id));
        Ok(())
    };
    view! { <Choice label="Pull" options=options value=value commit=show/> }
}

/// The pull on the board: its name, and what can be done with pulls.
#[component]
pub(super) fn Pulls() -> impl IntoView {
    let store = use_store();
    let name = memo(move |_| {
        store.with(|session| session.shown_pull().map(|pull| pull.name.clone())).unwrap_or_default()
    });
    let count = memo(move |_| store.with(|session| session.plan().pulls.len()));
    let rename = move |name: String| {
        change(store, Edit::RenamePull(store.peek(|session| session.pull), name))
    };
    view! {
        <section class="sub">
            <h2>"Pull"</h2>
            <p class="panel-note">"One pull is one blank, formed once. A plan holds as many as a kit takes."</p>
            <div class="fields">
                <TextField label="Name of this pull" value=name commit=rename/>
                {sheet(store)}
            </div>
            <div class="row">
                <Button label="Add an empty pull" press=move |()| add(store)/>
                <Button
                    label="Remove this pull"
                    press=move |()| remove(store)
                    disabled=Signal::derive(move || count.get() < 2)
                />
            </div>
        </section>
    }
}

/// The sheet of the pull on the board, where there are several to choose from.
fn sheet(store: Store) -> AnyView {
    let has_sheets = memo(move |_| store.with(|s| !s.plan().batch.stocks.is_empty()));
    let at = memo(move |_| {
        store.with(|s| place_of(&s.plan().batch, s.shown_pull().and_then(|pull| pull.stock)))
    });
    let choose = Callback::new(move |at: Option<usize>| {
        let edit = store.peek(|s| Edit::SetPullStock(s.pull, sheet_at(&s.plan().batch, at)));
        change(store, edit)
    });
    let choice = live(move || {
        has_sheets.get().then(|| {
            let (options, value) = (sheet_options(store), at);
            view! { <Choice label="Sheet of this pull" options value commit=choose/> }.into_any()
        })
    });
    choice.into_any()
}

fn add(store: Store) {
    let id = store.peek(|session| session.plan().free_pull_id());
    let pull = Pull::new(&format!("Pull {}", id.0));
    match change(store, Edit::AddPull(id, pull)) {
        Ok(()) => {
            store.dispatch(Action::ShowPull(id));
            say_done(store, format!("Pull {} is added and on the board.", id.0));
        }
        Err(words) => say_refused(store, words),
    }
}

fn remove(store: Store) {
    let (id, name) = store.peek(|session| {
        let name = session.shown_pull().map(|pull| pull.name.clone());
        (session.pull, name.unwrap_or_default())
    });
    match change(store, Edit::RemovePull(id)) {
        Ok(()) => say_done(store, format!("{name} is removed. Undo brings it back.")),
        Err(words) => say_refused(store, words),
    }
}
