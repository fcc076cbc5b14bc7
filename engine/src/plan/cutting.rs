//! How the maker cuts sheets into blanks, and the offcuts that lie about.

use super::{Size, StockId};
use crate::units::Length;

/// What sheet is parted with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutBy {
    /// Scored and snapped, or cut with a knife or shears: nothing is lost.
    Snap,
    /// Sawn: each cut takes its kerf.
    Saw,
}

impl CutBy {
    /// Both choices, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::Snap, Self::Saw];
}

/// How sheets are cut into blanks.
///
/// The default is saved as if the plan had none.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingHabits {
    /// Scored or sawn.
    pub by: CutBy,
    /// What the saw takes away; counts only where sheet is sawn.
    pub kerf: Length,
    /// How far a cut may stray; each blank is laid out larger by it.
    pub wander: Length,
    /// The narrowest strip that can be snapped off; none takes that of the gauge. Counts only where sheet is snapped.
    pub least_strip: Option<Length>,
    /// Whether blanks may lie either way on the sheet: not where the grain or the direction of extrusion matters.
    pub may_turn: bool,
    /// How many blanks to cut; none fills one sheet.
    pub blanks_wanted: Option<u32>,
    /// What is left of earlier sheets; used first.
    pub offcuts: Vec<Offcut>,
}

/// Equal offcuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offcut {
    /// Width and depth.
    pub size: Size,
    /// How many there are.
    pub count: u32,
    /// The sheet they come from; none means the plan's own.
    pub stock: Option<StockId>,
}

impl Default for CuttingHabits {
    /// Scored and snapped, the blanks lying either way; a saw would take 1/8 in (common practice: 3 to 4 mm).
    fn default() -> Self {
        Self {
            by: CutBy::Snap,
            kerf: Length::inches(0.125),
            wander: Length::ZERO,
            least_strip: None,
            may_turn: true,
            blanks_wanted: None,
            offcuts: Vec::new(),
        }
    }
}
