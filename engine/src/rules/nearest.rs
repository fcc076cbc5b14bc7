//! The gaps round one placed mold, for showing while it is dragged.

use super::bench::{Bench, Standing};
use super::{ReadyMolds, Side, spacing};
use crate::geometry::{Gap, Point};
use crate::order;
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
    nearest_with(plan, pull, placement, &ReadyMolds::default())
}

/// The same gaps, with what is known of the molds already: much cheaper while molds are only moved.
#[must_use]
pub fn nearest_with(
    plan: &Plan,
    pull: PullId,
    placement: PlacementId,
    ready: &ReadyMolds,
) -> Option<Neighbours> {
    let bench = Bench::new(plan, pull, ready)?;
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
    order::by(&mut molds, |a, b| key(a).total_cmp(&key(b)).then(a.placement.cmp(&b.placement)));
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

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, layout};
    use super::*;

    #[test]
    fn the_three_nearest_come_in_order_with_their_clearance() {
        let (limpet, crab) = (block("Limpet", 10.0), block("Crab shell", 20.0));
        let row =
            [(320.0, 150.0, 0.0), (200.0, 150.0, 0.0), (60.0, 150.0, 0.0), (200.0, 240.0, 0.0)];
        let plan = layout(&[(&limpet, &[(130.0, 150.0, 0.0)]), (&crab, &row)]);
        let near = nearest(&plan, PULL, PlacementId(1)).expect("it stands there");
        let told: Vec<(u32, f64)> =
            near.molds.iter().map(|n| (n.placement.0, n.gap.distance.to_mm())).collect();
        let diagonal = (30.0_f64 * 30.0 + 50.0 * 50.0).sqrt();
        let expected = [(3, 30.0), (4, 30.0), (5, diagonal)];
        assert_eq!(told.len(), expected.len());
        for (told, expected) in told.into_iter().zip(expected) {
            assert!(told.0 == expected.0 && (told.1 - expected.1).abs() < 1e-9, "{told:?}");
        }
        assert!(near.molds.iter().all(|n| n.allowed == Length::mm(35.0)));
    }

    #[test]
    fn the_sides_are_measured_from_the_mold_to_the_opening() {
        let plan = layout(&[(&block("Limpet", 10.0), &[(30.0, 150.0, 0.0)])]);
        let near = nearest(&plan, PULL, PlacementId(1)).expect("it stands there");
        let rooms = near.sides.map(|side| side.distance.to_mm());
        for (room, expected) in rooms.into_iter().zip([115.0, 115.0, -5.0, 335.0]) {
            assert!((room - expected).abs() < 1e-9, "{rooms:?}");
        }
        for gap in near.sides {
            assert!((gap.from.distance(gap.to) - gap.distance.to_mm().abs()).abs() < 1e-9);
        }
    }

    #[test]
    fn nothing_is_near_what_is_not_there() {
        let plan = layout(&[]);
        assert_eq!(nearest(&plan, PULL, PlacementId(1)), None);
        assert_eq!(nearest(&plan, PullId(9), PlacementId(1)), None);
    }
}
