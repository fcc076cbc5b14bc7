//! One forming cycle: which molds stand where on one blank.

use std::collections::BTreeMap;

use super::{CopyNumber, MoldId, PlacementId};
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

/// One blank and its layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// What the pull is called.
    pub name: String,
    /// What stands where.
    pub placements: BTreeMap<PlacementId, Placement>,
}

impl Pull {
    /// A pull with nothing on the blank.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { name: name.to_owned(), placements: BTreeMap::new() }
    }

    /// An id that no placement has yet: one above the highest.
    #[must_use]
    pub fn free_placement_id(&self) -> PlacementId {
        PlacementId(self.placements.keys().next_back().map_or(1, |id| id.0.saturating_add(1)))
    }
}
