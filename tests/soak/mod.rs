//! A maker who never tires: what is done in the page at random, and what the engine says that must come of it.
//!
//! The model knows what each key, field and button is for, and the engine's own edits and history; the page is asked for the
//! same things by its events alone.

mod steps;

use std::collections::BTreeSet;
use std::sync::Arc;

use engine::edit::{Edit, EditError, History};
use engine::moves::{self, Move};
use engine::plan::{PlacementId, Plan, Pull, PullId};
use serde_json::Value;

pub(crate) use steps::next;

/// One thing done: what the page is asked, and what the model does.
pub(crate) struct Step {
    pub(crate) ask: Value,
    pub(crate) deed: Deed,
}

/// What is meant by it.
#[derive(Clone, Debug)]
pub(crate) enum Deed {
    /// A small move by a key, one step with those right before it.
    Nudge(Move),
    /// A move of the selection by a key: what is locked is passed over.
    Hand(Move),
    /// A move of the selection by a field or a button of the panel, for all of it or not at all.
    Field(Move),
    /// An edit by a field or a button; nothing at all when it is refused.
    Edit(Edit),
    /// An empty pull, shown at once.
    AddPull,
    Undo,
    Redo,
    Next {
        backwards: bool,
    },
    Toggle(PlacementId),
    SelectAll,
    SelectNone,
    Show(PullId),
    /// The hands rest: a burst of nudges ends.
    Rest,
    /// Something that the page has to refuse.
    Nothing,
}

/// What the page must know after every step.
#[derive(Clone, Debug)]
pub(crate) struct Model {
    history: History,
    pub(crate) pull: PullId,
    pub(crate) selection: BTreeSet<PlacementId>,
    is_in_burst: bool,
}

impl Model {
    /// As a page opens: on its first pull, with nothing to undo and nothing selected.
    pub(crate) fn opened(plan: Plan) -> Self {
        let pull = plan.first_pull().expect("every plan has a pull");
        let history = History::new(plan);
        Self { history, pull, selection: BTreeSet::new(), is_in_burst: false }
    }

    pub(crate) fn plan(&self) -> &Arc<Plan> {
        self.history.plan()
    }

    pub(crate) fn can_undo(&self) -> bool {
        self.history.can_undo()
    }

    pub(crate) fn can_redo(&self) -> bool {
        self.history.can_redo()
    }

    pub(crate) fn shown(&self) -> &Pull {
        &self.plan().pulls[&self.pull]
    }

    pub(crate) fn standing(&self) -> BTreeSet<PlacementId> {
        self.shown().placements.keys().copied().collect()
    }

    pub(crate) fn is_locked(&self, id: PlacementId) -> bool {
        self.shown().placements.get(&id).is_some_and(|placement| placement.locked)
    }

    /// Does it.
    pub(crate) fn take(&mut self, deed: &Deed) {
        let was_in_burst = std::mem::take(&mut self.is_in_burst);
        match deed {
            Deed::Nudge(hand) => {
                let before = Arc::clone(self.plan());
                let step = if was_in_burst { History::amend } else { History::apply };
                self.moved(hand, step);
                self.is_in_burst = was_in_burst || !Arc::ptr_eq(self.plan(), &before);
            }
            Deed::Hand(hand) => self.moved(hand, History::apply),
            Deed::Field(hand) => {
                let edit = moves::edit(self.plan(), self.pull, &self.selection, hand);
                if edit.is_ok_and(|edit| self.plan().apply(&edit).is_ok()) {
                    self.moved(hand, History::apply);
                } else {
                    self.is_in_burst = was_in_burst;
                }
            }
            Deed::Edit(edit) => match self.history.apply(edit) {
                Ok(history) => self.history = history,
                Err(_) => self.is_in_burst = was_in_burst,
            },
            Deed::AddPull => {
                let id = self.plan().free_pull_id();
                let pull = Pull::new(&format!("Pull {}", id.0));
                match self.history.apply(&Edit::AddPull(id, pull)) {
                    Ok(history) => {
                        self.history = history;
                        self.show(id);
                    }
                    Err(_) => self.is_in_burst = was_in_burst,
                }
            }
            Deed::Undo => self.history = self.history.undone().unwrap_or(self.history.clone()),
            Deed::Redo => self.history = self.history.redone().unwrap_or(self.history.clone()),
            Deed::Next { backwards } => self.select_next(*backwards),
            Deed::Toggle(id) => {
                if !self.selection.remove(id) {
                    self.selection.insert(*id);
                }
            }
            Deed::SelectAll => self.selection = self.standing(),
            Deed::SelectNone => self.selection.clear(),
            Deed::Show(pull) => self.show(*pull),
            Deed::Rest => {}
            Deed::Nothing => self.is_in_burst = was_in_burst,
        }
        self.settle();
    }

    fn show(&mut self, pull: PullId) {
        self.pull = pull;
        self.selection.clear();
    }

    /// What is locked stays, and the others move; a copy is selected in place of its original.
    fn moved(&mut self, hand: &Move, step: fn(&History, &Edit) -> Result<History, EditError>) {
        let is_for_all = matches!(hand, Move::Duplicate | Move::Lock(_));
        let free = self.selection.iter().copied().filter(|&id| is_for_all || !self.is_locked(id));
        let free: BTreeSet<PlacementId> = free.collect();
        let edit = moves::edit(self.plan(), self.pull, &free, hand).ok();
        let Some(history) = edit.and_then(|edit| step(&self.history, &edit).ok()) else { return };
        let before = self.standing();
        self.history = history;
        if *hand == Move::Duplicate {
            self.selection = self.standing().difference(&before).copied().collect();
        }
    }

    fn select_next(&mut self, backwards: bool) {
        let all: Vec<PlacementId> = self.standing().into_iter().collect();
        let Some(last) = all.len().checked_sub(1) else { return };
        let here = self.selection.first().and_then(|id| all.iter().position(|one| one == id));
        let at = match (here, backwards) {
            (None, false) => 0,
            (None, true) => last,
            (Some(at), false) => (at + 1) % all.len(),
            (Some(at), true) => at.checked_sub(1).unwrap_or(last),
        };
        self.selection = BTreeSet::from([all[at]]);
    }

    /// The pull on the board is one of the plan, and what is selected stands on it.
    fn settle(&mut self) {
        if !self.plan().pulls.contains_key(&self.pull) {
            self.pull = self.plan().first_pull().expect("every plan has a pull");
            self.selection.clear();
        }
        let standing = self.standing();
        self.selection.retain(|id| standing.contains(id));
    }
}
