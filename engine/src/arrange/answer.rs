//! What came of a request, as data; `words` says it.

use super::MoldCopy;
use crate::edit::Edit;
use crate::plan::PlacementId;
use crate::rules::Finding;
use crate::units::{Angle, Length};

/// What came of a request.
///
/// Every layout in it, those of the ways out included, was checked by [`crate::rules::check`]: no mold that it moves
/// or places overlaps another, stands too close to one, to the clamp or beyond it, or off the platen, and no copy is
/// placed that does not exist. What the rules say of a mold itself (its draft, its height) is not looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// One step to undo; nothing when nothing is to be changed or no good layout was found.
    pub edit: Option<Edit>,
    /// What was found.
    pub outcome: Outcome,
    /// Chosen copies that were not looked at, because their outline bounds no surface; in order, each once.
    pub unsound: Vec<MoldCopy>,
    /// What the rules find that moving does not help, and which this answer therefore leaves: among molds that were not
    /// to be moved, and of molds of which more stand than exist.
    pub left: Vec<Finding>,
    /// True when somebody stopped the search, so that more might be possible.
    pub is_stopped: bool,
    /// Steps taken.
    pub steps: u64,
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// All chosen molds stand as the rules ask.
    Fits {
        /// What stands there now of what was chosen; in order.
        placed: Vec<MoldCopy>,
        /// The smallest gap above the rule, between molds and to the clamp.
        spare: Length,
    },
    /// They do not all fit, as far as was searched.
    TooFull(Box<TooFull>),
    /// As many as go on.
    Most(Most),
    /// All fit, and the spare room is used.
    Spread {
        /// How the layout measured before; of a layout that had to be found first, as it was found.
        before: Measures,
        /// How it measures now.
        after: Measures,
    },
    /// The findings are put right.
    Tidied {
        /// What was moved, and how far; in id order.
        moved: Vec<(PlacementId, Length)>,
    },
}

/// Molds that do not all fit, and the ways out.
#[derive(Clone, Debug, PartialEq)]
pub struct TooFull {
    /// What the best try still lacked, summed over pairs and edges; nothing when no try made sense, because a mold has
    /// no room at all or the molds with their clearances cover more than there is.
    pub lacking: Option<Length>,
    /// Copies that do not fit the opening even alone; each mold once, by its lowest copy.
    pub too_large: Vec<MoldCopy>,
    /// What to leave out, least loss first tried; nothing when the search ended before it was known.
    pub leave_out: Option<LeaveOut>,
    /// What a smaller clearance factor would do.
    pub factor: SmallerFactor,
    /// What a quarter turn of the blank and its frame would do.
    pub turned_blank: TurnedBlank,
}

/// What to leave out so that the rest fits.
#[derive(Clone, Debug, PartialEq)]
pub struct LeaveOut {
    /// The copies; one where one is enough: of all that are enough the one of least footprint.
    pub copies: Vec<MoldCopy>,
    /// The rest laid out, and those taken off that stand.
    pub edit: Edit,
}

/// What a smaller clearance factor would do.
#[derive(Clone, Debug, PartialEq)]
pub enum SmallerFactor {
    /// The search ended before it was known.
    NotAsked,
    /// Not even the least factor a plan may have lets all fit, as far as was searched.
    NoneFits {
        /// That factor.
        least: f64,
    },
    /// All fit at this one.
    Fits {
        /// The greatest factor found, to a hundredth.
        factor: f64,
        /// The layout, and the setting changed.
        edit: Edit,
    },
}

/// What a quarter turn of the blank and its frame would do.
#[derive(Clone, Debug, PartialEq)]
pub enum TurnedBlank {
    /// The search ended before it was known.
    NotAsked,
    /// Nothing: every mold may be turned by a quarter itself.
    NoDifference,
    /// It was not tried, because something stays where it is on the blank as it lies.
    Held,
    /// All the same they were not seen to fit.
    DoesNotHelp,
    /// All fit.
    Fits {
        /// The layout, and the machine turned.
        edit: Edit,
    },
}

/// As many as go on.
#[derive(Clone, Debug, PartialEq)]
pub struct Most {
    /// What stands on the blank of what was chosen; in order. None when no layout was found that the rules have nothing
    /// against, and then nothing is changed.
    pub placed: Vec<MoldCopy>,
    /// What does not; in order.
    pub left_out: Vec<MoldCopy>,
    /// What the placed ones are worth together.
    pub worth: f64,
    /// True when nothing worth more can fit: shown by area, or because all were tried that could.
    pub is_all_tried: bool,
}

/// How a layout does by the four aims.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    /// The smallest gap above the rule, between molds and to the clamp; negative where a rule is broken.
    pub spare: Length,
    /// How far the molds stand from the middle of the opening, each counted by how much it is taller than the lowest;
    /// zero when all are equally tall.
    pub tall_from_middle: Length,
    /// How far the long walls are from parallel to the frame, the mean over all walls that have a direction.
    pub out_of_square: Angle,
    /// How much of their length the molds face one another, counted by how close they stand: 0 for none, 1 when
    /// each faces its neighbours with its longest side at the very clearance.
    pub facing: f64,
}
