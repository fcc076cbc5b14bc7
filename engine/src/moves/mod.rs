//! What a hand does to a layout: each move of the selection becomes an edit.

mod error;
mod hand;
mod snap;

pub use error::MoveError;
pub use hand::edit;
pub use snap::{Guide, GuideKind, Snapped, snap};

use crate::geometry::Vec2;
use crate::units::{Angle, Length};

/// Which line of the selection's bounds comes into line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// The left edges.
    Left,
    /// The middles, left to right.
    Middle,
    /// The right edges.
    Right,
    /// The edges nearest the person.
    Front,
    /// The middles, front to back.
    Center,
    /// The far edges.
    Back,
}

/// Along which direction gaps are made equal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// Left to right.
    Width,
    /// Front to back.
    Depth,
}

/// One thing a hand does to the selected placements.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Move {
    /// Moves each by the same displacement.
    By(Vec2),
    /// Brings the centre of the selection to a place; a missing coordinate stays.
    To {
        /// From the left edge of the blank.
        x: Option<Length>,
        /// From the front edge of the blank.
        y: Option<Length>,
    },
    /// Turns the selection as one about its centre; one mold turns about its own.
    Turn(Angle),
    /// Turns each to this angle about its own centre.
    TurnTo(Angle),
    /// Brings edges or middles into line with the selection's bounds; one mold with the opening's.
    Align(Align),
    /// Makes the gaps between three or more equal; the outermost stay.
    Spread(Along),
    /// Brings the selection to the middle of the opening.
    Centre,
    /// Stands another copy of each beside it and selects the new ones.
    Duplicate,
    /// Takes the selection off the blank.
    TakeOff,
    /// Locks the selection, or frees it.
    Lock(bool),
}
