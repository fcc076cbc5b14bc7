//! What came of planning a batch: data first; `words` says it.

use std::collections::BTreeMap;

use crate::edit::Edit;
use crate::plan::{MoldId, Placement, PlacementId, PullId, StockId};
use crate::units::Length;

/// A batch planned.
#[derive(Clone, Debug, PartialEq)]
pub struct BatchPlan {
    /// What is pulled in each sheet that is used, the plan's own first.
    pub sheets: Vec<SheetPlan>,
    /// Molds that find no place on the blank even alone, so that their parts are not in the plan.
    pub unplaceable: Vec<MoldId>,
    /// Molds that were not got to before it was stopped, so that their parts are not in the plan either.
    pub untried: Vec<MoldId>,
    /// Adds the layouts that the plan does not have yet and sets the order of its pulls; nothing when it has all.
    pub edit: Option<Edit>,
    /// Whether it was stopped, so that more might have been found.
    pub is_stopped: bool,
    /// Steps that were done.
    pub steps: u64,
}

impl BatchPlan {
    /// All pulls.
    #[must_use]
    pub fn pulls(&self) -> u32 {
        self.sheets.iter().fold(0, |sum, sheet| sum.saturating_add(sheet.pulls))
    }

    /// How often the molds are set out: once for each layout of each sheet.
    #[must_use]
    pub fn n_layouts(&self) -> usize {
        self.sheets.iter().map(|sheet| sheet.layouts.len()).sum()
    }
}

/// The pulls of one sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetPlan {
    /// Which sheet; none is the plan's own.
    pub stock: Option<StockId>,
    /// The layouts, that pulled most often first.
    pub layouts: Vec<LayoutPlan>,
    /// All pulls.
    pub pulls: u32,
    /// What is proved about any way.
    pub bounds: Bounds,
    /// True when no way of as few pulls takes fewer layouts.
    pub is_fewest_layouts: bool,
    /// For each mold what one more copy saves, that which saves most first. Molds of which more make no difference, because
    /// as many exist as parts are wanted, are left out.
    pub bottlenecks: Vec<Bottleneck>,
    /// Parts wanted and made.
    pub parts: BTreeMap<MoldId, Made>,
}

impl SheetPlan {
    /// Whether fewer pulls are proved impossible.
    #[must_use]
    pub fn is_proved(&self) -> bool {
        self.pulls <= self.bounds.least()
    }
}

/// Parts of one mold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Made {
    /// As asked for, spares included.
    pub wanted: u32,
    /// As many as come out when every pull holds its whole layout.
    pub made: u64,
}

/// One layout and how often it is pulled.
#[derive(Clone, Debug, PartialEq)]
pub struct LayoutPlan {
    /// The pull of the plan; for a new one that which [`BatchPlan::edit`] adds.
    pub pull: PullId,
    /// Whether it is new.
    pub is_new: bool,
    /// What the pull is called.
    pub name: String,
    /// How many of each mold stand on it.
    pub molds: BTreeMap<MoldId, u32>,
    /// Where they stand.
    pub placements: BTreeMap<PlacementId, Placement>,
    /// How often it is pulled.
    pub times: u32,
    /// The smallest gap above the rule; none when a mold stands alone, or in a layout of the maker's own.
    pub spare: Option<Length>,
}

/// Pulls that any way takes at least, each for a reason of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// Of all molds the one that is wanted most often for its copies: so many parts over so many copies, rounded up.
    pub mold: Option<(MoldId, u32)>,
    /// All parts with half of their clearances over the room of a blank, rounded up.
    pub surface: u32,
    /// As few as would do if every set of molds stood together that is not proved too much; 0 when there are too many sets.
    pub together: u32,
}

impl Bounds {
    /// The best of them.
    #[must_use]
    pub fn least(&self) -> u32 {
        self.mold.map_or(0, |(_, least)| least).max(self.surface).max(self.together)
    }
}

/// What one more copy of a mold saves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bottleneck {
    /// Which mold.
    pub mold: MoldId,
    /// Pulls that it was found to save, by planning again.
    pub saves: u32,
    /// Pulls that it saves at the very best, by the bounds.
    pub at_best: u32,
}
