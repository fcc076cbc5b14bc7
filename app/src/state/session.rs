//! The session as plain data: the plan's history, what is selected and what was last said.

use std::collections::BTreeSet;
use std::sync::Arc;

use engine::edit::History;
use engine::plan::{PlacementId, Plan, Pull, PullId};

/// Names a plan on the shelf of this browser.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct ShelfId(pub(crate) String);

/// Where the open plan came from, which decides whether it is saved by itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Origin {
    /// The sample of a first visit: saved once something is changed.
    Sample,
    /// A plan on the shelf: every edit is saved to it.
    Shelf(ShelfId),
    /// Somebody's link: looked at, never saved until the reader keeps a copy.
    Link,
}

/// How a notice is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tone {
    /// Something was done.
    Done,
    /// Something was refused or failed, and nothing was lost.
    Refused,
}

/// The last thing said to the user, also read out by a screen reader.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Notice {
    /// How it is meant.
    pub(crate) tone: Tone,
    /// A whole sentence.
    pub(crate) words: String,
}

/// Everything the page knows.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Session {
    /// The plan, and the plans before and after it.
    pub(crate) history: History,
    /// Which pull is on the board.
    pub(crate) pull: PullId,
    /// Which placements are selected; always ones that stand in the pull.
    pub(crate) selection: BTreeSet<PlacementId>,
    /// The last thing said.
    pub(crate) notice: Option<Notice>,
    /// Where the open plan came from.
    pub(crate) origin: Origin,
    /// True while a burst of nudges goes on, which is one step to undo.
    pub(crate) is_in_burst: bool,
}

/// The selection as a hand takes hold of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Grip {
    /// What may move.
    pub(crate) free: BTreeSet<PlacementId>,
    /// What is locked and stays.
    pub(crate) locked: BTreeSet<PlacementId>,
}

impl Session {
    /// A session on `plan` with nothing selected.
    pub(crate) fn new(plan: Plan, origin: Origin) -> Self {
        let pull = plan.first_pull().unwrap_or(PullId(1));
        Self {
            history: History::new(plan),
            pull,
            selection: BTreeSet::new(),
            notice: None,
            origin,
            is_in_burst: false,
        }
    }

    /// The present plan.
    pub(crate) const fn plan(&self) -> &Arc<Plan> {
        self.history.plan()
    }

    /// The pull on the board.
    pub(crate) fn shown_pull(&self) -> Option<&Arc<Pull>> {
        self.plan().pulls.get(&self.pull)
    }

    /// Which of the selected placements may move, and which are locked.
    pub(crate) fn grip(&self) -> Grip {
        let is_locked = |id: &PlacementId| {
            let placement = self.shown_pull().and_then(|pull| pull.placements.get(id));
            placement.is_some_and(|placement| placement.locked)
        };
        let (locked, free) = self.selection.iter().copied().partition(is_locked);
        Grip { free, locked }
    }

    /// The session with its pull and selection among what exists.
    pub(crate) fn settled(mut self) -> Self {
        if !self.plan().pulls.contains_key(&self.pull) {
            self.pull = self.plan().first_pull().unwrap_or(self.pull);
            self.selection.clear();
        }
        let standing = self.shown_pull().map(Arc::clone);
        self.selection
            .retain(|id| standing.as_ref().is_some_and(|p| p.placements.contains_key(id)));
        self
    }

    /// The session with something said.
    pub(crate) fn saying(mut self, tone: Tone, words: impl Into<String>) -> Self {
        self.notice = Some(Notice { tone, words: words.into() });
        self
    }
}
