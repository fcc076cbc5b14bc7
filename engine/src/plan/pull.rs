//! One forming cycle: which molds stand where on one blank.

use std::collections::BTreeMap;

use super::{CopyNumber, MoldId, PlacementId, PullId, StockId};
use crate::geometry::Pose;

/// One mold standing on the blank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Which mold.
    pub mold: MoldId,
    /// Which of its equal copies.
    pub copy: CopyNumber,
    /// Where its centre stands, and how it is turned.
    pub pose: Pose,
    /// True when nothing may move it.
    pub locked: bool,
}

/// A pull in its turn: how often it is made before the molds are set out for the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Which pull.
    pub pull: PullId,
    /// How often it is made, from 1.
    pub times: u32,
}

/// One blank and its layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// What the pull is called.
    pub name: String,
    /// The sheet it is formed in, one of those of the batch; none means the plan's own.
    pub stock: Option<StockId>,
    /// What stands where.
    pub placements: BTreeMap<PlacementId, Placement>,
}

impl Pull {
    /// A pull in the plan's own sheet with nothing on the blank.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { name: name.to_owned(), stock: None, placements: BTreeMap::new() }
    }

    /// An id that no placement has yet: one above the highest.
    #[must_use]
    pub fn free_placement_id(&self) -> PlacementId {
        PlacementId(self.placements.keys().next_back().map_or(1, |id| id.0.saturating_add(1)))
    }
}
