//! What can be done in the page; every gesture, key, field and button ends in one of these.

use std::collections::BTreeSet;

use engine::edit::Edit;
use engine::moves::Move;
use engine::plan::{PlacementId, Plan, PullId};

use super::{Notice, Origin, Session};

/// A plan to open, and where it came from.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Opened {
    /// The plan.
    pub(crate) plan: Plan,
    /// Where it came from.
    pub(crate) origin: Origin,
}

/// One thing done in the page.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Action {
    /// Changes the plan: one step to undo.
    Edit(Edit),
    /// Changes the plan by a hand move of the selection: one step to undo.
    Hand(Move),
    /// As `Hand`, folded into the nudge before it until `EndBurst`.
    Nudge(Move),
    /// Ends a burst of nudges.
    EndBurst,
    /// One step back.
    Undo,
    /// One step forward again.
    Redo,
    /// Selects just these.
    Select(BTreeSet<PlacementId>),
    /// Selects one more, or one less.
    Toggle(PlacementId),
    /// Selects the next or the one before, for the keyboard.
    SelectNext {
        /// Against the order.
        backwards: bool,
    },
    /// Selects all that stand on the blank.
    SelectAll,
    /// Shows another pull on the board.
    ShowPull(PullId),
    /// Opens a plan in place of the present one.
    Open(Box<Opened>),
    /// Goes on where a session was left, its steps to undo included.
    Resume(Box<Session>),
    /// The open plan is now kept elsewhere, unchanged.
    KeptAs(Origin),
    /// Says something, or falls silent.
    Say(Option<Notice>),
}
