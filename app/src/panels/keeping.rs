//! Keeps the open plan in this browser: at once on every change, and never over what another tab has written.

use std::sync::Arc;

use engine::file::{load, save};
use engine::plan::Plan;

use crate::platform::{Record, Shelf, StorageTrouble, now, on_other_tab};
use crate::reactive::prelude::*;
use crate::state::{Action, Notice, Opened, Origin, Session, ShelfId, Store, Tone};

/// Two tabs wrote at once when there is no more between what they wrote; a busy machine may take its time to tell.
const AT_ONCE_MS: u64 = 60_000;

/// How the open plan is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kept {
    /// The sample, which is kept once something is changed.
    Sample,
    /// In this browser.
    Saved,
    /// Only as long as the page is open.
    Trouble(StorageTrouble),
    /// Somebody's link, which is not kept unless the reader asks.
    Shared,
}

/// Keeps plans; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Keeper {
    store: Store,
    kept: RwSignal<Kept>,
    /// The open plan as this tab last read it from the browser or brought it there; what the browser holds besides is
    /// another tab's.
    known: StoredValue<Option<String>>,
    /// True when another tab has changed the open plan.
    is_behind: RwSignal<bool>,
    /// Counts the changes of the shelf, for those who list it.
    shelf_changes: RwSignal<u32>,
}

/// What was on the board before the sample was put there for a while.
#[derive(Clone, Debug)]
pub(crate) struct Lent {
    session: Session,
    known: Option<String>,
    kept: Kept,
    /// The plans that were on the shelf by then.
    shelf: Vec<ShelfId>,
}

/// The keeper of the page; a page without one is a bug with this name.
pub(crate) fn use_keeper() -> Keeper {
    expect_context::<Keeper>()
}

/// Starts to keep what `store` holds, and puts the keeper in reach of all panels.
pub(crate) fn provide_keeper(store: Store, known: Option<String>) -> Keeper {
    let keeper = Keeper {
        store,
        kept: RwSignal::new(Kept::Sample),
        known: StoredValue::new(known),
        is_behind: RwSignal::new(false),
        shelf_changes: RwSignal::new(0),
    };
    provide_context(keeper);
    let open = memo(move |_| {
        store.with(|s| (Arc::clone(s.plan()), s.origin.clone(), s.history.can_undo()))
    });
    Effect::new(move || {
        let (plan, origin, is_touched) = open.get();
        keeper.keep(&plan, origin, is_touched);
    });
    on_other_tab(move |key, text| keeper.heard(key, text.and_then(Record::from_text).as_ref()));
    keeper
}

/// Whose the record on the shelf is, before it is written over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Owner {
    /// This tab's, or nobody's.
    Ours,
    /// Another tab's: it was changed there since this tab last read it.
    AnotherTab,
}

/// Whose the stored plan is, from what is stored and what this tab knows of it.
fn owner(stored: Option<&str>, known: Option<&str>) -> Owner {
    match stored {
        Some(stored) if known != Some(stored) => Owner::AnotherTab,
        _ => Owner::Ours,
    }
}

/// Whether what another tab wrote was written over by this one without having been seen: there is no lock over both tabs,
/// so each can find the plan untouched and write its own. Then no more than moments lie between the two; what is older was
/// gone before this tab wrote.
fn is_lost(theirs: &Record, ours: &Record) -> bool {
    theirs.saved != ours.saved && theirs.changed.0.abs_diff(ours.changed.0) < AT_ONCE_MS
}

impl Keeper {
    /// How the open plan is kept.
    pub(crate) fn kept(self) -> Kept {
        self.kept.get()
    }

    /// True when another tab has changed the open plan.
    pub(crate) fn is_behind(self) -> bool {
        self.is_behind.get()
    }

    /// The plans on the shelf, the last changed first; tracks every change of the shelf.
    pub(crate) fn list(self) -> Vec<(ShelfId, Record)> {
        self.shelf_changes.track();
        Shelf.list()
    }

    fn keep(self, plan: &Plan, origin: Origin, is_touched: bool) {
        match origin {
            Origin::Link => self.kept.set(Kept::Shared),
            Origin::Sample if !is_touched => self.kept.set(Kept::Sample),
            Origin::Sample => self.keep_anew(plan),
            Origin::Shelf(id) => self.keep_as(&id, plan),
        }
    }

    /// Keeps the plan under its own id, or beside it when another tab has changed what is there.
    fn keep_as(self, id: &ShelfId, plan: &Plan) {
        let saved = save(plan);
        let known = self.known.get_value();
        // What was refused before is brought again, even where undo has come back to what is there.
        let is_troubled = matches!(self.kept.get_untracked(), Kept::Trouble(_));
        if known.as_ref() == Some(&saved) && !is_troubled {
            self.kept.set(Kept::Saved);
            return;
        }
        let stored = Shelf.read_shared(id).map(|record| record.saved);
        match owner(stored.as_deref(), known.as_deref()) {
            Owner::Ours => self.write(id, plan, saved),
            Owner::AnotherTab => {
                Shelf.let_go(id);
                self.keep_anew(plan);
                self.say(
                    Tone::Done,
                    "This plan was changed in another tab, so what you see here is now kept as a second plan. \
                     Both are in the list of plans.",
                );
            }
        }
    }

    /// Keeps the plan under a new id and follows it there.
    fn keep_anew(self, plan: &Plan) {
        let id = Shelf.free_id();
        self.write(&id, plan, save(plan));
        self.store.dispatch(Action::KeptAs(Origin::Shelf(id)));
    }

    fn write(self, id: &ShelfId, plan: &Plan, saved: String) {
        let record = Record { name: plan.name.clone(), changed: now(), saved };
        let written = self.put(id, &record);
        if written.is_ok() {
            self.known.set_value(Some(record.saved));
        }
        self.is_behind.set(false);
        self.settle(written);
        Shelf.set_last(id);
    }

    /// Puts a record on the shelf; whoever lists the shelf hears of it.
    fn put(self, id: &ShelfId, record: &Record) -> Result<(), StorageTrouble> {
        let written = Shelf.write(id, record);
        self.shelf_changes.update(|changes| *changes = changes.wrapping_add(1));
        written
    }

    fn settle(self, written: Result<(), StorageTrouble>) {
        let kept = written.map_or_else(Kept::Trouble, |()| Kept::Saved);
        if let (Kept::Trouble(trouble), true) = (kept, self.kept.get_untracked() != kept) {
            self.say(
                Tone::Refused,
                &format!(
                    "Kept only until this page is closed: {trouble}. Save the plan as a file to be safe."
                ),
            );
        }
        self.kept.set(kept);
    }

    /// Opens a plan from the shelf; a record that does not open is left as it is.
    pub(crate) fn open(self, id: &ShelfId) {
        match read_plan(id) {
            Ok(plan) => self.show(plan, id),
            Err(words) => self.say(Tone::Refused, &words),
        }
    }

    fn show(self, plan: Plan, id: &ShelfId) {
        self.known.set_value(Shelf.read_shared(id).map(|record| record.saved));
        self.is_behind.set(false);
        self.kept.set(Kept::Saved);
        Shelf.set_last(id);
        let origin = Origin::Shelf(id.clone());
        self.store.dispatch(Action::Open(Box::new(Opened { plan, origin })));
    }

    /// Puts a new plan on the shelf and opens it.
    pub(crate) fn open_new(self, plan: Plan) {
        let id = Shelf.free_id();
        self.known.set_value(None);
        self.write(&id, &plan, save(&plan));
        let origin = Origin::Shelf(id);
        self.store.dispatch(Action::Open(Box::new(Opened { plan, origin })));
    }

    /// Shows somebody's link; the reader's own plan stays on the shelf.
    pub(crate) fn open_link(self, plan: Plan) {
        self.known.set_value(None);
        self.is_behind.set(false);
        self.store.dispatch(Action::Open(Box::new(Opened { plan, origin: Origin::Link })));
    }

    /// Opens the reader's own plan of last time, or the sample where there is none.
    pub(crate) fn open_own(self) {
        match Shelf.last().filter(|id| Shelf.read(id).is_some()) {
            Some(id) => self.open(&id),
            None => {
                let (plan, origin) = (engine::plan::sample(), Origin::Sample);
                self.known.set_value(None);
                self.store.dispatch(Action::Open(Box::new(Opened { plan, origin })));
            }
        }
    }

    /// Puts the sample on the board for a while, and hands out what was there.
    pub(crate) fn lend_sample(self) -> Lent {
        let lent = Lent {
            session: self.store.peek(Session::clone),
            known: self.known.get_value(),
            kept: self.kept.get_untracked(),
            shelf: Shelf.list().into_iter().map(|(id, _)| id).collect(),
        };
        self.known.set_value(None);
        let (plan, origin) = (engine::plan::sample(), Origin::Sample);
        self.store.dispatch(Action::Open(Box::new(Opened { plan, origin })));
        lent
    }

    /// Puts back what the sample stood in for, with all its steps to undo; a plan that was opened meanwhile stays.
    ///
    /// True when it was put back.
    pub(crate) fn bring_back(self, lent: Lent) -> bool {
        let is_sample = self.store.peek(|session| match &session.origin {
            Origin::Sample => true,
            Origin::Link => false,
            Origin::Shelf(id) => !lent.shelf.contains(id),
        });
        if is_sample {
            self.known.set_value(lent.known);
            self.kept.set(lent.kept);
            if let Origin::Shelf(id) = &lent.session.origin {
                Shelf.set_last(id);
            }
            self.store.dispatch(Action::Resume(Box::new(lent.session)));
        }
        is_sample
    }

    /// Keeps the plan on the board as one of the reader's own.
    pub(crate) fn keep_copy(self) {
        let plan = self.store.peek(|session| Arc::clone(session.plan()));
        self.known.set_value(None);
        self.keep_anew(&plan);
        self.say(Tone::Done, "Kept: this is now one of your own plans, and every change is saved.");
    }

    /// Calls a plan on the shelf something else; the open one by an edit like any other.
    pub(crate) fn rename(self, id: &ShelfId, name: String) -> Result<(), String> {
        let edit = engine::edit::Edit::Rename(name);
        if self.is_open(id) {
            let refused = self.store.peek(|s| s.plan().apply(&edit).err());
            refused.map_or(Ok(()), |error| Err(format!("Not changed: {error}.")))?;
            self.store.dispatch(Action::Edit(edit));
            return Ok(());
        }
        let plan = read_plan(id)?.apply(&edit).map_err(|error| format!("Not changed: {error}."))?;
        let record = Record { name: plan.name.clone(), changed: now(), saved: save(&plan) };
        self.put(id, &record).map_err(|trouble| format!("Not changed: {trouble}."))
    }

    /// Puts a second copy of a plan on the shelf.
    pub(crate) fn duplicate(self, id: &ShelfId) {
        let copied = read_plan(id).and_then(|plan| {
            let name: String = format!("{} copy", plan.name);
            let name = name.chars().take(engine::plan::limits::NAME_CHARS).collect();
            let plan = Plan { name, ..plan };
            let record = Record { name: plan.name.clone(), changed: now(), saved: save(&plan) };
            let put = self.put(&Shelf.free_id(), &record);
            put.map(|()| plan.name).map_err(|trouble| format!("Not copied: {trouble}."))
        });
        match copied {
            Ok(name) => self.say(Tone::Done, &format!("{name} is on the shelf.")),
            Err(words) => self.say(Tone::Refused, &words),
        }
    }

    /// Takes a plan off the shelf and hands back its record, so that it can be put back.
    pub(crate) fn remove(self, id: &ShelfId) -> Option<Record> {
        let record = Shelf.read(id);
        let was_open = self.is_open(id);
        Shelf.remove(id);
        self.shelf_changes.update(|changes| *changes = changes.wrapping_add(1));
        if was_open {
            let next = Shelf.list().into_iter().next();
            next.map_or_else(|| self.open_own(), |(id, _)| self.open(&id));
        }
        record
    }

    /// Puts back what was taken off; under another id where another tab has kept its own there meanwhile.
    pub(crate) fn put_back(self, id: &ShelfId, record: &Record) {
        let is_taken = Shelf.read(id).is_some();
        let put = if is_taken { self.put(&Shelf.free_id(), record) } else { self.put(id, record) };
        if let Err(trouble) = put {
            self.say(Tone::Refused, &format!("Kept only until this page is closed: {trouble}."));
        }
    }

    /// True when this plan is the open one.
    pub(crate) fn is_open(self, id: &ShelfId) -> bool {
        self.store.peek(|session| session.origin == Origin::Shelf(id.clone()))
    }

    /// Shows the open plan as another tab has left it; what this tab could not keep becomes a second plan.
    pub(crate) fn catch_up(self) {
        let Some(id) = self.open_id() else { return };
        if matches!(self.kept.get_untracked(), Kept::Trouble(_)) {
            Shelf.let_go(&id);
            let plan = self.store.peek(|session| Arc::clone(session.plan()));
            let record = Record { name: plan.name.clone(), changed: now(), saved: save(&plan) };
            // Told already: the plan is in trouble.
            let _ = self.put(&Shelf.free_id(), &record);
        }
        self.open(&id);
    }

    /// Keeps what is on the board as a plan of its own, beside the other tab's.
    pub(crate) fn part_ways(self) {
        self.is_behind.set(false);
        self.keep_copy();
    }

    fn open_id(self) -> Option<ShelfId> {
        self.store.peek(|session| match &session.origin {
            Origin::Shelf(id) => Some(id.clone()),
            Origin::Sample | Origin::Link => None,
        })
    }

    /// Another tab has kept or removed something.
    fn heard(self, key: &str, written: Option<&Record>) {
        let Some(id) = Shelf::id_of(key) else { return };
        self.shelf_changes.update(|changes| *changes = changes.wrapping_add(1));
        if self.open_id().as_ref() != Some(&id) {
            return self.follow(&id, written);
        }
        let stored = Shelf.read_shared(&id);
        let text = stored.as_ref().map(|record| record.saved.as_str());
        let owner = owner(text, self.known.get_value().as_deref());
        self.is_behind.set(owner == Owner::AnotherTab);
        if let (Owner::Ours, Some(ours), Some(theirs)) = (owner, stored, written)
            && is_lost(theirs, &ours)
        {
            self.rescue(theirs);
        }
    }

    /// Keeps what this tab wrote over without having seen it as a second plan.
    fn rescue(self, lost: &Record) {
        if Shelf.list().iter().any(|(_, record)| record.saved == lost.saved) {
            return;
        }
        match self.put(&Shelf.free_id(), lost) {
            Ok(()) => self.say(
                Tone::Done,
                "Another tab changed this plan at the same moment, so its version is now kept as a second plan. Both are \
                 in the list of plans.",
            ),
            Err(trouble) => self.say(
                Tone::Refused,
                &format!(
                    "Another tab changed this plan at the same moment. Its version is kept only until this page is \
                     closed: {trouble}."
                ),
            ),
        }
    }

    /// Goes on where another tab has put this tab's version, after it had written over it.
    fn follow(self, id: &ShelfId, written: Option<&Record>) {
        let saved = self.store.peek(|session| save(session.plan()));
        if !self.is_behind.get_untracked() || written.is_none_or(|record| record.saved != saved) {
            return;
        }
        self.known.set_value(Some(saved));
        self.is_behind.set(false);
        Shelf.set_last(id);
        self.store.dispatch(Action::KeptAs(Origin::Shelf(id.clone())));
        self.say(
            Tone::Done,
            "This plan was changed in another tab at the same moment, so what you see here is now kept as a second plan. \
             Both are in the list of plans.",
        );
    }

    fn say(self, tone: Tone, words: &str) {
        let words = words.to_owned();
        self.store.dispatch(Action::Say(Some(Notice { tone, words })));
    }
}

/// A plan from the shelf.
fn read_plan(id: &ShelfId) -> Result<Plan, String> {
    let record = Shelf.read(id).ok_or("This plan is not in this browser any more.")?;
    load(&record.saved)
        .map_err(|error| format!("{} does not open and is left as it is: {error}.", record.name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_this_tab_wrote_last_is_its_own() {
        assert_eq!(owner(Some("a"), Some("a")), Owner::Ours);
        assert_eq!(owner(None, Some("a")), Owner::Ours);
        assert_eq!(owner(None, None), Owner::Ours);
    }

    #[test]
    fn what_was_written_over_unseen_is_known_by_its_moment() {
        let record = |ms: u64, saved: &str| Record {
            name: "Rock pool".into(),
            changed: crate::platform::Moment(ms),
            saved: saved.into(),
        };
        let ours = record(1_754_000_100_000, "a");
        for (ms, saved, is_it) in [
            (1_754_000_100_000, "b", true),
            (1_754_000_100_003, "b", true),
            (1_754_000_099_000, "b", true),
            (1_754_000_100_000, "a", false),
            (1_754_000_000_000, "b", false),
        ] {
            assert_eq!(is_lost(&record(ms, saved), &ours), is_it, "{ms} {saved}");
        }
    }

    #[test]
    fn what_differs_from_what_this_tab_knows_is_another_tabs() {
        assert_eq!(owner(Some("b"), Some("a")), Owner::AnotherTab);
        assert_eq!(owner(Some("b"), None), Owner::AnotherTab);
    }
}
