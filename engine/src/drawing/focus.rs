//! What is added while molds are being moved: what they keep free, and how far the nearest things are.

use std::collections::BTreeSet;

use super::Mark;
use crate::plan::{PlacementId, Plan, PullId};

/// The molds that are being moved.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Focus {
    /// Their placements.
    pub moved: BTreeSet<PlacementId>,
}

/// The clearance zones of the moved molds and the gaps to their nearest neighbours and to the clamp.
///
/// Separate from [`super::draw`], so that a board may keep the rest of the drawing while it draws this anew.
#[must_use]
pub fn draw_focus(_plan: &Plan, _pull: PullId, _focus: &Focus) -> Vec<Mark> {
    Vec::new()
}
