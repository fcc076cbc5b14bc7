//! What is added while molds are being moved: what they keep free, and how far the nearest things are.

use std::collections::{BTreeMap, BTreeSet};

use super::layout::{FIGURE, Standing, standing};
use super::{Anchor, Form, Mark, ReadyOutlines, Role};
use crate::geometry::{Point, Rect, Vec2, tolerance};
use crate::order;
use crate::plan::{MoldId, PlacementId, Plan, PullId};
use crate::rules::{Neighbours, SideGap, Subject, clearance, nearest};
use crate::units::{Length, LengthStyle};

/// Molds that are moved together and still get figures; with more they would cover the bench.
const MOST_WITH_FIGURES: usize = 8;
/// Between several molds only gaps shorter than this many times their clearance are shown.
const NEAR: f64 = 1.5;
/// From a gap's middle to its figure.
const BESIDE: f64 = 1.2;

/// The molds that are being moved.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Focus {
    /// Their placements.
    pub moved: BTreeSet<PlacementId>,
}

/// The clearance zones of the moved molds and the gaps to their nearest neighbours and to the clamp.
///
/// A zone is what a mold asks for by its own height; a neighbour that asks for more shows its zone too, so
/// that no outline in another's zone means that the clearance is kept. Separate from [`super::draw`], so that
/// a board may keep the rest of the drawing while it draws this anew.
#[must_use]
pub fn draw_focus(plan: &Plan, pull: PullId, focus: &Focus) -> Vec<Mark> {
    draw_focus_with(plan, pull, focus, &ReadyOutlines::default())
}

/// As [`draw_focus`], with the zones grown before.
#[must_use]
pub fn draw_focus_with(
    plan: &Plan,
    pull: PullId,
    focus: &Focus,
    ready: &ReadyOutlines,
) -> Vec<Mark> {
    let standing = standing(plan, pull);
    let by_id = order::map(standing.iter().map(|one| (one.id, one)));
    let has_figures = focus.moved.len() <= MOST_WITH_FIGURES;
    let around: Vec<(&Standing<'_>, Neighbours)> = focus
        .moved
        .iter()
        .filter(|_| has_figures)
        .filter_map(|id| Some((*by_id.get(id)?, nearest(plan, pull, *id)?)))
        .collect();
    let zoned = zoned(plan, focus, &around, &by_id);
    let zones = zoned.iter().filter_map(|id| by_id.get(id)).flat_map(|one| zone(plan, one, ready));
    let style = plan.settings.lengths;
    let gaps = around.iter().flat_map(|(one, neighbours)| {
        let measured = measured(&standing, focus, (one, neighbours));
        measured.into_iter().flat_map(|gap| gap.marks(one.subject(), style)).collect::<Vec<Mark>>()
    });
    zones.chain(gaps).collect()
}

/// The moved molds, and those of their neighbours that ask for more than they do.
fn zoned(
    plan: &Plan,
    focus: &Focus,
    around: &[(&Standing<'_>, Neighbours)],
    by_id: &BTreeMap<PlacementId, &Standing<'_>>,
) -> BTreeSet<PlacementId> {
    let mut zoned = focus.moved.clone();
    for (one, neighbours) in around {
        let own = own_clearance(plan, one.placement.mold);
        let others = neighbours.molds.iter().filter_map(|n| by_id.get(&n.placement));
        let asking = others.filter(|other| own_clearance(plan, other.placement.mold) > own);
        zoned.extend(asking.map(|other| other.id));
    }
    zoned
}

/// What a mold asks for between itself and its like.
fn own_clearance(plan: &Plan, mold: MoldId) -> Length {
    clearance(plan, mold, mold).unwrap_or(Length::ZERO)
}

fn zone(plan: &Plan, one: &Standing<'_>, ready: &ReadyOutlines) -> Vec<Mark> {
    let id = one.placement.mold;
    let grown = plan.molds.get(&id).map(|mold| ready.zone(plan, id, mold));
    let regions = grown.iter().flat_map(|grown| grown.regions());
    let placed = regions.map(|region| Form::Region(region.placed(one.placement.pose)));
    placed.map(|form| Mark::new(Role::ClearanceZone, form).of(one.subject())).collect()
}

/// The gaps from one moved mold to what does not move with it.
///
/// To the clamp, the shorter way front to back and the shorter way left to right are shown, unless another mold
/// stands in between.
fn measured(
    standing: &[Standing<'_>],
    focus: &Focus,
    (one, around): (&Standing<'_>, &Neighbours),
) -> Vec<Measured> {
    let molds = around.molds.iter().filter(|other| !focus.moved.contains(&other.placement));
    let to_molds = molds.map(|other| Measured {
        from: other.gap.from,
        to: other.gap.to,
        distance: other.gap.distance,
        allowed: other.allowed,
    });
    let others = standing.iter().filter(|other| other.id != one.id);
    let others: Vec<Rect> = others.filter_map(|other| other.region.bounds()).collect();
    let [front, back, left, right] = &around.sides;
    let sides = [nearer(front, back), nearer(left, right)].into_iter();
    let to_clamp = sides.filter(|side| !others.iter().any(|o| o.meets_line(side.from, side.to)));
    let to_clamp = to_clamp.map(|side| Measured {
        from: side.from,
        to: side.to,
        distance: side.distance,
        allowed: side.allowed,
    });
    let is_alone = focus.moved.len() == 1;
    let is_shown = |gap: &Measured| is_alone || gap.distance < gap.allowed * NEAR;
    to_molds.chain(to_clamp).filter(is_shown).collect()
}

fn nearer<'a>(a: &'a SideGap, b: &'a SideGap) -> &'a SideGap {
    if b.distance < a.distance { b } else { a }
}

/// One gap and what it should be.
#[derive(Clone, Copy, Debug)]
struct Measured {
    from: Point,
    to: Point,
    distance: Length,
    allowed: Length,
}

impl Measured {
    /// The line, and its length beside its middle, with what is needed when it is too short.
    fn marks(&self, subject: Subject, style: LengthStyle) -> [Mark; 2] {
        let mut words = style.show(self.distance);
        if self.distance < self.allowed - tolerance::SAME {
            words = format!("{words} of {}", style.show(self.allowed));
        }
        let along = self.to - self.from;
        let is_steep = along.y.abs() > along.x.abs();
        let half = FIGURE.to_mm() / 2.0;
        let (beside, anchor) = if is_steep {
            (Vec2::new(BESIDE, -half), Anchor::Start)
        } else {
            (Vec2::new(0.0, BESIDE), Anchor::Middle)
        };
        let at = self.from.midpoint(self.to) + beside;
        [
            Mark::new(Role::Gap, Form::Line(self.from, self.to)),
            Mark::new(Role::GapFigure, Form::text(at, FIGURE, anchor, words)),
        ]
        .map(|mark| mark.of(subject))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample;

    const PULL: PullId = PullId(1);

    fn focus(ids: &[u32]) -> Focus {
        Focus { moved: ids.iter().copied().map(PlacementId).collect() }
    }

    #[test]
    fn one_moved_mold_shows_its_zone_and_its_gaps() {
        let marks = draw_focus(&sample(), PULL, &focus(&[4]));
        let count = |role| marks.iter().filter(|mark| mark.role == role).count();
        assert!(count(Role::ClearanceZone) >= 1);
        // Three neighbours and two sides of the clamp.
        assert_eq!((count(Role::Gap), count(Role::GapFigure)), (5, 5));
    }

    #[test]
    fn molds_that_move_together_show_no_gap_between_them() {
        let all: Vec<u32> = (1..=6).collect();
        let marks = draw_focus(&sample(), PULL, &focus(&all));
        let to_clamp = |mark: &Mark| match mark.form {
            Form::Line(_, to) => {
                let opening = sample().machine.opening();
                let edges = [to.x - opening.min.x, to.x - opening.max.x];
                let ends = [to.y - opening.min.y, to.y - opening.max.y];
                edges.into_iter().chain(ends).any(|off| off.abs() < 1e-9)
            }
            Form::Region(_) | Form::Polyline(_) | Form::Text { .. } => true,
        };
        assert!(marks.iter().filter(|mark| mark.role == Role::Gap).all(to_clamp));
    }

    #[test]
    fn what_is_not_there_has_no_marks() {
        assert_eq!(draw_focus(&sample(), PULL, &focus(&[99])), vec![]);
        assert_eq!(draw_focus(&sample(), PullId(9), &focus(&[1])), vec![]);
    }
}
