//! What undo restores, and nothing that can be computed from the rest.
//!
//! A plan is plain data: no caches, no pixels, no saved form (`file` owns that). Shared parts sit behind `Arc`,
//! so that a history of plans costs what changed.

mod batch;
mod cutting;
mod footprint;
mod height_grid;
mod heights;
mod ids;
pub mod limits;
mod machine;
mod mold;
mod profile;
mod pull;
mod relief;
mod sample;
mod settings;
mod stock;

use std::collections::BTreeMap;
use std::sync::Arc;

pub use batch::{Batch, ExtraStock, PartWanted, PullTimes};
pub use cutting::{CutBy, CuttingHabits, Offcut};
pub use footprint::Footprint;
pub use height_grid::HeightGrid;
pub use ids::{CopyNumber, MoldId, PlacementId, PullId, StockId};
pub use machine::{Machine, Sides, Size};
pub use mold::{Mold, MoldKind, Turns};
pub(crate) use profile::{Piece, Profile, edge_most, wall_run};
pub use pull::{Placement, Pull, Turn};
pub use relief::{Relief, Step};
pub use sample::sample;
pub use settings::{ClearanceRule, EdgeRule, HeightBasis, Settings};
pub use stock::{Film, Plastic, Stock, Texture};

/// One machine, one stock sheet, the molds at hand and the pulls laid out with them.
///
/// Changed only by [`crate::edit::apply`]. Ids order the molds and the pulls.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What the plan is called; at most [`limits::NAME_CHARS`] characters.
    pub name: String,
    /// The former the blank is clamped in.
    pub machine: Machine,
    /// The sheet that blanks are cut from.
    pub stock: Stock,
    /// The molds at hand.
    pub molds: BTreeMap<MoldId, Arc<Mold>>,
    /// The layouts, one a forming cycle.
    pub pulls: BTreeMap<PullId, Arc<Pull>>,
    /// The rules in force and how lengths are shown.
    pub settings: Settings,
    /// The kits that are to be made.
    pub batch: Arc<Batch>,
    /// How sheets are cut into blanks.
    pub cutting: Arc<CuttingHabits>,
    /// The order in which the pulls of a batch are made, each once; empty when none was taken into the plan.
    pub order: Arc<Vec<Turn>>,
}

impl Plan {
    /// An empty plan for `machine`: no molds, one empty pull.
    #[must_use]
    pub fn new(name: &str, machine: Machine) -> Self {
        Self {
            name: name.to_owned(),
            machine,
            stock: Stock::default(),
            molds: BTreeMap::new(),
            pulls: BTreeMap::from([(PullId(1), Arc::new(Pull::new("Pull 1")))]),
            settings: Settings::default(),
            batch: Arc::default(),
            cutting: Arc::default(),
            order: Arc::default(),
        }
    }

    /// The first pull, which every plan has.
    #[must_use]
    pub fn first_pull(&self) -> Option<PullId> {
        self.pulls.keys().next().copied()
    }

    /// An id that no mold has yet: one above the highest.
    #[must_use]
    pub fn free_mold_id(&self) -> MoldId {
        MoldId(self.molds.keys().next_back().map_or(1, |id| id.0.saturating_add(1)))
    }

    /// An id that no pull has yet: one above the highest.
    #[must_use]
    pub fn free_pull_id(&self) -> PullId {
        PullId(self.pulls.keys().next_back().map_or(1, |id| id.0.saturating_add(1)))
    }

    /// The plan's own sheet, or the one besides it that `id` names; `None` when there is no such sheet.
    #[must_use]
    pub fn stock_of(&self, id: Option<StockId>) -> Option<&Stock> {
        match id {
            None => Some(&self.stock),
            Some(id) => self.batch.stocks.get(&id).map(|extra| &extra.stock),
        }
    }

    /// The sheet that a pull is formed in; the plan's own for a pull that the plan does not have.
    ///
    /// ```
    /// use engine::plan::{Machine, Plan, PullId};
    /// let plan = Plan::new("Kit", Machine::default());
    /// assert_eq!(*plan.stock_of_pull(PullId(1)), plan.stock);
    /// ```
    #[must_use]
    pub fn stock_of_pull(&self, pull: PullId) -> &Stock {
        let id = self.pulls.get(&pull).and_then(|pull| pull.stock);
        self.stock_of(id).unwrap_or(&self.stock)
    }

    /// The lowest copy of `mold` that does not stand in `pull`; may be beyond the copies that exist.
    #[must_use]
    pub fn free_copy(&self, pull: PullId, mold: MoldId) -> CopyNumber {
        let standing = self.pulls.get(&pull).into_iter().flat_map(|p| p.placements.values());
        let taken: Vec<CopyNumber> = standing.filter(|p| p.mold == mold).map(|p| p.copy).collect();
        (1..).map(CopyNumber).find(|copy| !taken.contains(copy)).unwrap_or(CopyNumber(u32::MAX))
    }
}
