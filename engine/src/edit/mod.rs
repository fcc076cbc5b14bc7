//! The only way a plan changes: an edit is checked and applied, or refused and nothing changes.

mod apply;
mod batch;
mod check;
mod error;
mod history;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

pub use apply::apply;
pub(crate) use check::is_unwelcome;
pub use error::{EditError, article};
pub use history::History;

use crate::geometry::Pose;
use crate::plan::{
    Batch, CuttingHabits, Machine, Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId,
    Settings, Stock, StockId, Turn,
};

/// One change of a plan, complete in itself: the same edit on the same plan always gives the same plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Calls the plan something else.
    Rename(String),
    /// Replaces the machine.
    SetMachine(Machine),
    /// Replaces the stock.
    SetStock(Stock),
    /// Replaces the rules and the way lengths are shown.
    SetSettings(Settings),
    /// Replaces the kits that are to be made; an order for other kits is forgotten.
    SetBatch(Box<Batch>),
    /// Replaces the way sheets are cut, and the offcuts that lie about.
    SetCutting(Box<CuttingHabits>),
    /// Adds a mold under an id that is free.
    AddMold(MoldId, Box<Mold>),
    /// Replaces a mold; its placements stay.
    ChangeMold(MoldId, Box<Mold>),
    /// Removes a mold, takes it off every pull and out of the kits.
    RemoveMold(MoldId),
    /// Adds a pull under an id that is free, laid out or empty.
    AddPull(PullId, Pull),
    /// Calls a pull something else.
    RenamePull(PullId, String),
    /// Forms a pull in another sheet of the plan.
    SetPullStock(PullId, Option<StockId>),
    /// Removes a pull and its layout, and its turn in the order; the last pull stays.
    RemovePull(PullId),
    /// Stands molds on the blank under ids that are free.
    Place(PullId, BTreeMap<PlacementId, Placement>),
    /// Moves and turns what stands on the blank; locked placements refuse.
    Move(PullId, BTreeMap<PlacementId, Pose>),
    /// Locks or frees placements.
    Lock(PullId, BTreeSet<PlacementId>, bool),
    /// Takes molds off the blank.
    TakeOff(PullId, BTreeSet<PlacementId>),
    /// Replaces the order in which the pulls are made.
    SetOrder(Vec<Turn>),
    /// Several edits as one step: all of them, or none.
    All(Vec<Self>),
}

impl Edit {
    /// Replaces the sheet that a pull is formed in, which other pulls may be formed in too: the plan's own, or another of the plan.
    #[must_use]
    pub fn sheet_of_pull(plan: &Plan, pull: PullId, stock: Stock) -> Self {
        let mut batch = plan.batch.clone();
        let id = plan.pulls.get(&pull).and_then(|pull| pull.stock);
        match id.and_then(|id| Arc::make_mut(&mut batch).stocks.get_mut(&id)) {
            None => Self::SetStock(stock),
            Some(extra) => {
                extra.stock = stock;
                Self::SetBatch(Box::new(Arc::unwrap_or_clone(batch)))
            }
        }
    }
}

impl Plan {
    /// The plan after `edit`; this one is left as it is.
    ///
    /// # Errors
    /// Says what of the edit makes no sense here, with the value and the limit.
    pub fn apply(&self, edit: &Edit) -> Result<Self, EditError> {
        apply(self, edit)
    }
}
