//! The shape of a mold above its footprint.

use std::sync::Arc;

use super::HeightGrid;
use crate::units::Length;

/// The mold's shape above its footprint; of a female mold, the shape of its cavity.
#[derive(Clone, Debug, PartialEq)]
pub enum Relief {
    /// Walls at the mold's draft up to a level top (or, female, down to a level floor).
    FlatTop {
        /// The radius that the edge between wall and top is rounded by; zero for a sharp edge.
        edge: Length,
    },
    /// Walls at the mold's draft from ledge to ledge, and the last one up to a level top.
    Stepped {
        /// The ledges from the lowest up, at most [`super::limits::STEPS`].
        steps: Vec<Step>,
    },
    /// A dome: each level is the footprint scaled about its centre, as in half an ellipsoid.
    Dome,
    /// Straight walls from the footprint to the same outline scaled by `top`, 0 for a point.
    Taper {
        /// The scale of the top, from 0 to 1.
        top: f64,
    },
    /// Heights on a grid, as from a mesh; the mold's draft is then that of its steepest walls.
    Heights(Arc<HeightGrid>),
}

/// A ledge of a stepped mold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// How high the ledge lies above the footprint.
    pub height: Length,
    /// How far from the outline the ledge ends and the next wall begins.
    pub inset: Length,
}

impl Relief {
    /// A level top with a sharp edge.
    pub const FLAT: Self = Self::FlatTop { edge: Length::ZERO };
    /// The scale that the top of a taper begins with (our own choice).
    pub const TAPER_TOP: f64 = 0.5;

    /// How many cells it stores.
    #[must_use]
    pub fn n_cells(&self) -> usize {
        match self {
            Self::Heights(grid) => grid.tenths().len(),
            Self::FlatTop { .. } | Self::Stepped { .. } | Self::Dome | Self::Taper { .. } => 0,
        }
    }
}
