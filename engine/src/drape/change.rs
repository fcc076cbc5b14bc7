//! One change of a plan that is tried against what a forecast warns of, and its words.

use super::finding::name;
use crate::plan::{MoldId, PlacementId, Plan, PullId};
use crate::units::{Angle, Length};

/// What a change does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// Two molds are moved apart.
    Apart {
        /// The one.
        first: PlacementId,
        /// The other.
        other: PlacementId,
        /// By this much in all.
        by: Length,
    },
    /// A mold is moved away from the nearest side of the clamp.
    FromClamp {
        /// Which mold.
        mold: PlacementId,
        /// By this much.
        by: Length,
    },
    /// A mold is turned by a quarter.
    Turn {
        /// Which mold.
        mold: PlacementId,
    },
    /// Two molds change places.
    Swap {
        /// The one.
        first: PlacementId,
        /// The other.
        other: PlacementId,
    },
    /// Sheet of another gauge is taken.
    Gauge {
        /// The gauge.
        to: Length,
    },
    /// A mold is made lower, or its cavity less deep.
    Lower {
        /// Which mold.
        mold: MoldId,
        /// To this height.
        to: Length,
    },
    /// A mold's walls lean more.
    Draft {
        /// Which mold.
        mold: MoldId,
        /// By this angle from vertical.
        to: Angle,
    },
    /// The upright corners of a mold are rounded.
    Corners {
        /// Which mold.
        mold: MoldId,
        /// With this radius.
        radius: Length,
    },
    /// The edge between wall and top of a mold is rounded, or that round the floor of a cavity.
    Edge {
        /// Which mold.
        mold: MoldId,
        /// With this radius.
        radius: Length,
    },
}

impl Change {
    /// What it does, as the subject of a sentence: "Limpet and Crab shell 1/2 in farther apart".
    ///
    /// `plan` and `pull` must be those of the forecast; of others, names may be missing.
    #[must_use]
    pub fn words(self, plan: &Plan, pull: PullId) -> String {
        let style = plan.settings.lengths;
        let name = |id| name(plan, pull, id);
        let mold =
            |id: MoldId| plan.molds.get(&id).map_or_else(|| id.to_string(), |m| m.name.clone());
        match self {
            Self::Apart { first, other, by } => {
                format!("{} and {} {} farther apart", name(first), name(other), style.show(by))
            }
            Self::FromClamp { mold, by } => {
                format!("{} {} farther from the clamp", name(mold), style.show(by))
            }
            Self::Turn { mold } => format!("{} turned by a quarter", name(mold)),
            Self::Swap { first, other } => format!("{} and {} swapped", name(first), name(other)),
            Self::Gauge { to } => format!("Sheet of {}", style.show_gauge(to)),
            Self::Lower { mold: id, to } => {
                format!("{} made {} high", mold(id), style.show(to))
            }
            Self::Draft { mold: id, to } => {
                format!("{} with {:.0} degrees of draft", mold(id), to.to_degrees())
            }
            Self::Corners { mold: id, radius } => {
                format!("{} with upright corners of {}", mold(id), style.show(radius))
            }
            Self::Edge { mold: id, radius } => {
                format!("{} with its edge rounded by {}", mold(id), style.show(radius))
            }
        }
    }
}
