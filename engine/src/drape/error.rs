//! Why there is no forecast: data first, words in `Display`.

use super::Settings;
use crate::plan::PullId;
use crate::units::Length;

const LEAST_MESH: Length = Settings::MESH.0;
const MOST_MESH: Length = Settings::MESH.1;
const LEAST_FIRMNESS: f64 = Settings::FIRMNESS.0;
const MOST_FIRMNESS: f64 = Settings::FIRMNESS.1;
const LEAST_FRICTION: f64 = Settings::FRICTION.0;
const MOST_FRICTION: f64 = Settings::FRICTION.1;

/// Why there is no forecast.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DrapeError {
    /// The pull is not in the plan.
    #[error("there is no {0} in this plan")]
    NoSuchPull(PullId),
    /// The clamp covers the blank.
    #[error(
        "the clamp leaves an opening of {:.1} x {:.1} mm, too little to form in; make the blank larger or the lips narrower",
        .width.to_mm(),
        .depth.to_mm()
    )]
    NoOpening {
        /// Of the opening.
        width: Length,
        /// Of the opening.
        depth: Length,
    },
    /// The net cannot be so fine or so coarse.
    #[error(
        "a net of {:.3} mm cannot be computed; choose {:.2} to {:.0} mm",
        .mesh.to_mm(),
        LEAST_MESH.to_mm(),
        MOST_MESH.to_mm()
    )]
    Mesh {
        /// What was asked for.
        mesh: Length,
    },
    /// The sheet cannot hang so far.
    #[error("a sag of {:.1} mm is too much for this opening; choose 0 to {:.1} mm", .sag.to_mm(), .most.to_mm())]
    Sag {
        /// What was asked for.
        sag: Length,
        /// What this opening takes.
        most: Length,
    },
    /// No sheet is so soft or so firm.
    #[error(
        "a firmness of {firmness} is no hot sheet's; choose {LEAST_FIRMNESS} to {MOST_FIRMNESS}"
    )]
    Firmness {
        /// What was asked for.
        firmness: f64,
    },
    /// Nothing is so smooth or so rough.
    #[error(
        "a friction of {friction} cannot be; choose {LEAST_FRICTION} to {MOST_FRICTION}, or leave it out for a sheet that sticks"
    )]
    Friction {
        /// What was asked for.
        friction: f64,
    },
    /// Somebody stopped it.
    #[error("the forecast was stopped; ask again to have it")]
    Stopped,
}
