//! A plan that came back by a link, held against the reader's own: what is different, taken whole or in part.

use std::collections::BTreeSet;
use std::sync::Arc;

use engine::compare::{Change, Changes, What, changes};
use engine::drawing::{Mark, outlines};
use engine::order;
use engine::plan::Plan;

use super::change::{change, say_done, say_refused};
use super::keeping::Keeper;
use crate::platform::focus;
use crate::reactive::prelude::*;
use crate::state::{Action, Store, use_store};
use crate::widgets::{Button, Toggle};

/// What the heading is found by.
const HEADING: &str = "changes-title";

/// Their plan while it is held against the open one; cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Comparer {
    store: Store,
    theirs: RwSignal<Option<Arc<Plan>>>,
    /// What is to be taken against the usual, or left.
    flipped: RwSignal<Vec<What>>,
    /// What differs, anew after every change of the plan.
    found: Memo<Option<Arc<Changes>>>,
}

/// Puts the comparison in reach of the page and the board.
pub(crate) fn provide_comparer(store: Store) -> Comparer {
    let theirs = RwSignal::new(None::<Arc<Plan>>);
    let found = memo(move |_| {
        let theirs = theirs.get()?;
        store.with(|session| changes(session.plan(), &theirs).ok().map(Arc::new))
    });
    let comparer = Comparer { store, theirs, flipped: RwSignal::new(Vec::new()), found };
    provide_context(comparer);
    comparer
}

/// The comparison of the page; a page without one is a bug with this name.
pub(crate) fn use_comparer() -> Comparer {
    expect_context::<Comparer>()
}

impl Comparer {
    /// Opens the reader's own plan and holds the shared one, which is on the board, against it.
    pub(crate) fn begin(self, keeper: Keeper) {
        let theirs = self.store.peek(|session| Arc::clone(session.plan()));
        keeper.open_own();
        self.flipped.set(Vec::new());
        self.theirs.set(Some(theirs));
        let Some(found) = self.found.get_untracked() else {
            self.theirs.set(None);
            say_refused(
                self.store,
                "Your own plan is too large for a link, so the two cannot be compared.",
            );
            return;
        };
        if found.is_empty() {
            self.theirs.set(None);
            say_done(self.store, "The shared pull is the same as your own plan.");
            focus("board");
            return;
        }
        let is_here = self.store.peek(|session| session.plan().pulls.contains_key(&found.pull));
        if is_here {
            self.store.dispatch(Action::ShowPull(found.pull));
        }
        focus(HEADING);
    }

    fn is_chosen(self, change: &Change) -> bool {
        change.is_usual != self.flipped.with(|flipped| flipped.contains(&change.what))
    }

    fn turn(self, what: &What) {
        self.flipped.update(|flipped| match flipped.iter().position(|one| one == what) {
            Some(at) => {
                flipped.remove(at);
            }
            None => flipped.push(what.clone()),
        });
    }

    fn chosen(self) -> BTreeSet<usize> {
        let Some(found) = self.found.get() else { return BTreeSet::new() };
        let chosen = found.list.iter().enumerate().filter(|(_, change)| self.is_chosen(change));
        order::set(chosen.map(|(at, _)| at))
    }

    /// How the pull would stand with what is chosen, as outlines.
    pub(crate) fn outlines(self) -> Option<Vec<Mark>> {
        let found = self.found.get()?;
        let chosen = self.chosen();
        self.store.with(|session| {
            let plan = session.plan();
            let after = plan.apply(&found.edit(plan, &chosen)).ok()?;
            (session.pull == found.pull).then(|| outlines(&after, found.pull))
        })
    }

    fn take(self) {
        let Some(found) = self.found.get_untracked() else { return };
        let chosen = self.chosen();
        let edit = self.store.peek(|session| found.edit(session.plan(), &chosen));
        match change(self.store, edit) {
            Ok(()) => {
                self.theirs.set(None);
                say_done(
                    self.store,
                    format!("{} taken: Undo takes all of it back.", counted(chosen.len())),
                );
                focus("board");
            }
            Err(words) => say_refused(self.store, words),
        }
    }

    fn put_away(self) {
        self.theirs.set(None);
        say_done(self.store, "The shared pull is put away; your plan is as it was.");
        focus("board");
    }
}

fn counted(n: usize) -> String {
    match n {
        1 => "One change".to_owned(),
        n => format!("{n} changes"),
    }
}

/// What is different, over the board; nothing while nothing is compared.
#[component]
pub(crate) fn Comparing() -> impl IntoView {
    let (store, comparer) = (use_store(), use_comparer());
    let line = move |change: &Change, found: &Changes| {
        let words = store.peek(|session| change.words(session.plan(), found.pull));
        let (what, on) = (change.what.clone(), change.clone());
        view! {
            <li>
                <Toggle
                    label=words
                    on=Signal::derive(move || comparer.is_chosen(&on))
                    turn=move |_| comparer.turn(&what)
                />
            </li>
        }
    };
    let list = move || {
        let found = comparer.found.get()?;
        Some(found.list.iter().map(|change| line(change, &found)).collect_view())
    };
    let n_chosen = move || comparer.chosen().len();
    let body = move || {
        view! {
            <h2 id=HEADING tabindex="-1">"What is different in the shared pull"</h2>
            <p class="panel-note">"Your own plan is on the board; dotted lines show how it would stand with what is ticked."</p>
            <ul class="changes">{list}</ul>
            <div class="row">
                <Button
                    label=Signal::derive(move || format!("Take {}", counted(n_chosen()).to_ascii_lowercase()))
                    kind="main"
                    press=move |()| comparer.take()
                    disabled=Signal::derive(move || n_chosen() == 0)
                />
                <Button label="Put it away" press=move |()| comparer.put_away()/>
            </div>
        }
        .into_any()
    };
    let is_open = memo(move |_| comparer.found.with(Option::is_some));
    view! {
        <section class="comparing" aria-labelledby=HEADING hidden=move || !is_open.get()>
            {move || is_open.get().then(body)}
        </section>
    }
}
