//! The gaps round one placed mold, for showing while it is dragged.

use super::bench::{Bench, Standing};
use super::{Side, spacing};
use crate::geometry::{Gap, Point};
use crate::plan::{PlacementId, Plan, PullId};
use crate::units::Length;

/// Neighbours shown at once; more would be a thicket.
const MOST_NEIGHBOURS: usize = 3;

/// What stands round one placed mold.
#[derive(Clone, Debug, PartialEq)]
pub struct Neighbours {
    /// The nearest molds, the nearest first; three at most.
    pub molds: Vec<Neighbour>,
    /// The room to each side of the opening, in the order of [`Side::ALL`].
    pub sides: [SideGap; 4],
}

/// The gap to one other placed mold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Neighbour {
    /// The other mold's placement.
    pub placement: PlacementId,
    /// The gap, from the mold asked about to the other.
    pub gap: Gap,
    /// The clearance that the two need.
    pub allowed: Length,
}

/// The room to one side of the opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideGap {
    /// Which side.
    pub side: Side,
    /// The free distance; negative where the mold reaches beyond the opening.
    pub distance: Length,
    /// Where it starts, on the mold.
    pub from: Point,
    /// Where it ends, on the side of the opening.
    pub to: Point,
    /// The margin that the mold needs.
    pub allowed: Length,
}

/// The gaps from one placed mold to its nearest neighbours and to the four sides of the opening.
///
/// `None` when the pull or the placement is not there, or the mold's footprint is not sound; neighbours
/// without a sound footprint are left out.
#[must_use]
pub fn nearest(plan: &Plan, pull: PullId, placement: PlacementId) -> Option<Neighbours> {
    let bench = Bench::new(plan, pull)?;
    let asked = bench.standing().iter().find(|standing| standing.id == placement)?;
    Some(Neighbours {
        molds: nearest_molds(&bench, asked),
        sides: Side::ALL.map(|side| side_gap(&bench, asked, side)),
    })
}

fn nearest_molds(bench: &Bench<'_>, asked: &Standing<'_>) -> Vec<Neighbour> {
    let others = bench.standing().iter().filter(|other| other.id != asked.id);
    let mut molds: Vec<Neighbour> = others
        .map(|other| Neighbour {
            placement: other.id,
            gap: bench.gap(asked, other),
            allowed: spacing::between(&bench.plan.settings, asked.mold, other.mold),
        })
        .collect();
    let key = |neighbour: &Neighbour| neighbour.gap.distance.to_mm();
    molds.sort_by(|a, b| key(a).total_cmp(&key(b)).then(a.placement.cmp(&b.placement)));
    molds.truncate(MOST_NEIGHBOURS);
    molds
}

fn side_gap(bench: &Bench<'_>, asked: &Standing<'_>, side: Side) -> SideGap {
    let from = side.farthest(bench.shape(asked), asked.pose);
    SideGap {
        side,
        distance: side.room(asked.extent, bench.opening),
        from,
        to: side.across(from, bench.opening),
        allowed: spacing::to_edge(&bench.plan.settings, asked.mold),
    }
}
