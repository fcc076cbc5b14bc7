//! What can keep an outline from bounding a surface, as data and in words.

use std::fmt;

use super::Point;
use crate::units::Area;

/// One of the outlines of a region.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outline {
    /// The outer one.
    Outer,
    /// A hole, by its place in the list.
    Hole(usize),
}

impl fmt::Display for Outline {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Outer => f.write_str("the outer outline"),
            Self::Hole(index) => write!(f, "hole {}", index + 1),
        }
    }
}

/// One reason why a region bounds no surface; places are in the region's own coordinates.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Problem {
    /// A coordinate is infinite or not a number.
    #[error("{outline} has a corner whose coordinates are no numbers: remove it")]
    NotFinite {
        /// The outline.
        outline: Outline,
    },
    /// Fewer than three corners that differ.
    #[error(
        "{outline} has {n_corners} corners that differ, and a surface needs 3: add corners or remove it"
    )]
    TooFewCorners {
        /// The outline.
        outline: Outline,
        /// How many corners differ.
        n_corners: usize,
    },
    /// Next to no surface inside.
    #[error("{outline} bounds {:.6} mm², too little for a mold: check the units or remove it", area.to_mm2())]
    NoArea {
        /// The outline.
        outline: Outline,
        /// What it bounds.
        area: Area,
    },
    /// Two corners in a row at one place. Harmless to measuring; the outline bounds a surface all the same.
    #[error("{outline} has a corner twice at {}: remove one", place(*at))]
    RepeatedCorner {
        /// The outline.
        outline: Outline,
        /// Where.
        at: Point,
    },
    /// The outline turns back on itself.
    #[error("{outline} turns back on itself at {}: remove that corner", place(*at))]
    Spike {
        /// The outline.
        outline: Outline,
        /// Where it turns.
        at: Point,
    },
    /// The outline crosses or touches itself.
    #[error("{outline} meets itself at {}: move the corners apart there", place(*at))]
    SelfCrossing {
        /// The outline.
        outline: Outline,
        /// Where.
        at: Point,
    },
    /// Two outlines cross or share a side.
    #[error("{one} and {other} cross at {}: move them apart or join them", place(*at))]
    OutlinesCrossing {
        /// The first outline.
        one: Outline,
        /// The second outline.
        other: Outline,
        /// Where.
        at: Point,
    },
    /// A hole, or a part of it, where there is no surface to make it in: outside, or in another hole.
    #[error("{hole} is outside the surface at {}: move or remove it", place(*at))]
    HoleOutside {
        /// The hole.
        hole: Outline,
        /// A place of it that is outside.
        at: Point,
    },
    /// Outlines touch at so many places that the surface falls apart.
    #[error("the outlines touch and cut the surface apart at {}: move them apart", place(*at))]
    CutApart {
        /// One of the places.
        at: Point,
    },
}

/// A place as a person reads it.
fn place(at: Point) -> String {
    format!("({:.3}, {:.3}) mm", at.x, at.y)
}
