//! Where an arrangement stands.

use super::MoldCopy;
use crate::geometry::Pose;

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Looks for a place for every mold.
    Placing,
    /// Tries sets of molds.
    Choosing,
    /// Moves molds apart.
    Spreading,
    /// Moves molds as little as it takes.
    Tidying,
    /// Asks what to leave out.
    LeavingOut,
    /// Asks at which clearance all fit.
    Lowering,
    /// Asks whether turning the blank helps.
    TurningBlank,
}

impl Phase {
    /// What is being done, in a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Placing => "Looking for a place for every mold",
            Self::Choosing => "Trying which molds go on together",
            Self::Spreading => "Using the spare room",
            Self::Tidying => "Moving molds no farther than they must",
            Self::LeavingOut => "Not all fit: trying which to leave out",
            Self::Lowering => "Not all fit: trying smaller clearances",
            Self::TurningBlank => "Not all fit: trying the blank turned",
        }
    }
}

/// Where an arrangement stands. One that is stopped answers with what was found so far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress<'a> {
    /// Steps done.
    pub done: u64,
    /// Steps there are at most; it may be over sooner.
    pub of: u64,
    /// What is being done.
    pub phase: Phase,
    /// The best layout so far, not yet checked: a picture to show meanwhile. Molds that stay are not in it.
    pub poses: &'a [(MoldCopy, Pose)],
}
