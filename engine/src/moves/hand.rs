//! Turns a hand move of the selection into an edit.

use std::collections::{BTreeMap, BTreeSet};

use super::{Align, Along, Move, MoveError};
use crate::edit::Edit;
use crate::geometry::{Point, Pose, Rect, Shape, Vec2, extent, tolerance};
use crate::order;
use crate::plan::{CopyNumber, Placement, PlacementId, Plan, Pull, PullId};
use crate::units::{Angle, Length};

/// The edit that does `hand` to the `selection` of a pull.
///
/// Selected ids that do not stand in the pull are passed over. Whether the result is a good layout is for the
/// rules to say; whether it is a legal one, for `apply`.
///
/// # Errors
/// Says why the move makes no sense for this selection.
pub fn edit(
    plan: &Plan,
    pull: PullId,
    selection: &BTreeSet<PlacementId>,
    hand: &Move,
) -> Result<Edit, MoveError> {
    let layout = plan.pulls.get(&pull).ok_or(MoveError::NoSuchPull(pull))?;
    let chosen = Chosen::new(plan, layout, selection);
    if chosen.standing.is_empty() {
        return Err(MoveError::NothingSelected);
    }
    let ids = || order::set(chosen.standing.iter().map(|s| s.id));
    let poses = match *hand {
        Move::By(by) => chosen.each(|s| s.pose.moved(by)),
        Move::To { x, y } => chosen.to(x, y),
        Move::Turn(by) => chosen.turned(by),
        Move::TurnTo(turn) => chosen.each(|s| Pose { turn, ..s.pose }),
        Move::Align(align) => chosen.aligned(align),
        Move::Spread(along) => chosen.spread(along)?,
        Move::Centre => chosen.moved_to(plan.machine.opening().center()),
        Move::Duplicate => return duplicate(plan, pull, layout, &chosen),
        Move::TakeOff => return Ok(Edit::TakeOff(pull, ids())),
        Move::Lock(locked) => return Ok(Edit::Lock(pull, ids(), locked)),
    };
    Ok(Edit::Move(pull, poses))
}

/// One selected placement with its extent on the blank.
struct Standing {
    id: PlacementId,
    pose: Pose,
    extent: Rect,
}

/// The selection as it stands, and the opening it stands in.
struct Chosen {
    standing: Vec<Standing>,
    bounds: Rect,
    opening: Rect,
}

type Poses = BTreeMap<PlacementId, Pose>;

impl Chosen {
    fn new(plan: &Plan, layout: &Pull, selection: &BTreeSet<PlacementId>) -> Self {
        let stand = |id: &PlacementId| {
            let placement = layout.placements.get(id)?;
            let mold = plan.molds.get(&placement.mold)?;
            let shape = Shape::new(mold.footprint.region(tolerance::MEASURE));
            let extent = extent(&shape, placement.pose);
            Some(Standing { id: *id, pose: placement.pose, extent })
        };
        let standing: Vec<_> = selection.iter().filter_map(stand).collect();
        let bounds = standing.iter().map(|s| s.extent).reduce(Rect::union).unwrap_or_default();
        Self { standing, bounds, opening: plan.machine.opening() }
    }

    fn each(&self, pose: impl Fn(&Standing) -> Pose) -> Poses {
        order::map(self.standing.iter().map(|s| (s.id, pose(s))))
    }

    /// One placement is where its centre is; several are where the middle of their bounds is.
    fn centre(&self) -> Point {
        match self.standing.as_slice() {
            [one] => one.pose.at,
            _ => self.bounds.center(),
        }
    }

    fn moved_to(&self, place: Point) -> Poses {
        let by = place - self.centre();
        self.each(|s| s.pose.moved(by))
    }

    fn to(&self, x: Option<Length>, y: Option<Length>) -> Poses {
        let here = self.centre();
        self.moved_to(Point::new(x.map_or(here.x, Length::to_mm), y.map_or(here.y, Length::to_mm)))
    }

    fn turned(&self, by: Angle) -> Poses {
        let about = Pose::new(self.centre(), by).map();
        let centre = self.centre();
        self.each(|s| {
            let from_centre = s.pose.at - centre;
            let at = about.apply(Point::ORIGIN + from_centre);
            Pose::new(at, (s.pose.turn + by).normalized())
        })
    }

    fn aligned(&self, align: Align) -> Poses {
        let target = if self.standing.len() == 1 { self.opening } else { self.bounds };
        self.each(|s| s.pose.moved(to_line(s.extent, target, align)))
    }

    fn spread(&self, along: Along) -> Result<Poses, MoveError> {
        const NEEDED: usize = 3;
        let got = self.standing.len();
        if got < NEEDED {
            return Err(MoveError::TooFew { got, needed: NEEDED });
        }
        let span = |r: Rect| match along {
            Along::Width => (r.min.x, r.max.x),
            Along::Depth => (r.min.y, r.max.y),
        };
        let mut order: Vec<&Standing> = self.standing.iter().collect();
        order::by(&mut order, |a, b| {
            let middle = |s: &Standing| (span(s.extent).0 + span(s.extent).1) / 2.0;
            middle(a).total_cmp(&middle(b)).then(a.id.cmp(&b.id))
        });
        let (first, last) = (span(order[0].extent), span(order[got - 1].extent));
        let widths: f64 = order.iter().map(|s| span(s.extent).1 - span(s.extent).0).sum();
        let gap = (last.1 - first.0 - widths) / (index(got) - 1.0);
        let mut next = first.0;
        let mut poses = Poses::new();
        for standing in order {
            let (start, end) = span(standing.extent);
            let by = match along {
                Along::Width => Vec2::new(next - start, 0.0),
                Along::Depth => Vec2::new(0.0, next - start),
            };
            poses.insert(standing.id, standing.pose.moved(by));
            next += end - start + gap;
        }
        Ok(poses)
    }
}

/// A count as a number to divide by; a pull holds a few hundred placements at most.
fn index(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

/// The displacement that brings one line of `extent` onto the same line of `target`.
fn to_line(extent: Rect, target: Rect, align: Align) -> Vec2 {
    match align {
        Align::Left => Vec2::new(target.min.x - extent.min.x, 0.0),
        Align::Middle => Vec2::new(target.center().x - extent.center().x, 0.0),
        Align::Right => Vec2::new(target.max.x - extent.max.x, 0.0),
        Align::Front => Vec2::new(0.0, target.min.y - extent.min.y),
        Align::Center => Vec2::new(0.0, target.center().y - extent.center().y),
        Align::Back => Vec2::new(0.0, target.max.y - extent.max.y),
    }
}

/// Stands the next free copy of each beside it, to the right by its own width and its clearance.
fn duplicate(plan: &Plan, pull: PullId, layout: &Pull, chosen: &Chosen) -> Result<Edit, MoveError> {
    let mut after = layout.clone();
    let mut added = BTreeMap::new();
    for standing in &chosen.standing {
        let Some(old) = layout.placements.get(&standing.id) else { continue };
        let Some(mold) = plan.molds.get(&old.mold) else { continue };
        let taken = |copy: &CopyNumber| {
            after.placements.values().any(|p| p.mold == old.mold && p.copy == *copy)
        };
        let copy =
            (1..=mold.copies).map(CopyNumber).find(|copy| !taken(copy)).ok_or_else(|| {
                MoveError::NoMoreCopies { name: mold.name.clone(), copies: mold.copies }
            })?;
        let height = mold.standing_height();
        let clear = plan.settings.clearance.between([height; 2], [mold.trim; 2]);
        let aside = Vec2::new((standing.extent.width() + clear).to_mm(), 0.0);
        let placement = Placement { copy, pose: old.pose.moved(aside), locked: false, ..*old };
        let id = after.free_placement_id();
        after.placements.insert(id, placement);
        added.insert(id, placement);
    }
    Ok(Edit::Place(pull, added))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample;

    const PULL: PullId = PullId(1);

    fn ids(numbers: &[u32]) -> BTreeSet<PlacementId> {
        numbers.iter().copied().map(PlacementId).collect()
    }

    /// The plan after a hand move of the placements with these numbers.
    #[track_caller]
    fn after(plan: &Plan, numbers: &[u32], hand: Move) -> Plan {
        let edit = edit(plan, PULL, &ids(numbers), &hand).expect("a move");
        plan.apply(&edit).expect("a legal move")
    }

    fn extents(plan: &Plan, numbers: &[u32]) -> Vec<Rect> {
        Chosen::new(plan, &plan.pulls[&PULL], &ids(numbers))
            .standing
            .iter()
            .map(|s| s.extent)
            .collect()
    }

    #[test]
    fn aligned_edges_are_in_line() {
        let plan = after(&sample(), &[1, 4], Move::Align(Align::Left));
        let got = extents(&plan, &[1, 4]);
        assert!((got[0].min.x - got[1].min.x).abs() < 1e-9, "{got:?}");
    }

    #[test]
    fn one_mold_is_aligned_with_the_opening() {
        let plan = after(&sample(), &[1], Move::Align(Align::Back));
        let back = plan.machine.opening().max.y;
        assert!((extents(&plan, &[1])[0].max.y - back).abs() < 1e-9);
    }

    #[test]
    fn spread_molds_have_equal_gaps_and_the_outermost_stay() {
        let before = sample();
        let plan = after(&before, &[4, 5, 6], Move::Spread(Along::Width));
        let got = extents(&plan, &[4, 5, 6]);
        let gaps = [got[1].min.x - got[0].max.x, got[2].min.x - got[1].max.x];
        assert!((gaps[0] - gaps[1]).abs() < 1e-9, "{gaps:?}");
        let was = extents(&before, &[4, 6]);
        assert!((was[0].min.x - got[0].min.x).abs() < 1e-9);
        assert!((was[1].max.x - got[2].max.x).abs() < 1e-9);
        let two = edit(&before, PULL, &ids(&[4, 5]), &Move::Spread(Along::Width));
        assert_eq!(two, Err(MoveError::TooFew { got: 2, needed: 3 }));
    }

    #[test]
    fn a_group_turned_four_quarters_is_back_where_it_was() {
        let before = sample();
        let mut plan = before.clone();
        for _ in 0..4 {
            plan = after(&plan, &[1, 2, 4], Move::Turn(Angle::degrees(90.0)));
        }
        for id in ids(&[1, 2, 4]) {
            let (was, is) =
                (before.pulls[&PULL].placements[&id], plan.pulls[&PULL].placements[&id]);
            assert!(was.pose.at.distance(is.pose.at) < 0.5, "{was:?} {is:?}");
            assert!((was.pose.turn - is.pose.turn).to_radians().abs() < 1e-9);
        }
    }

    #[test]
    fn a_place_in_one_coordinate_keeps_the_other() {
        let plan = after(&sample(), &[1], Move::To { x: Some(Length::mm(120.0)), y: None });
        let at = plan.pulls[&PULL].placements[&PlacementId(1)].pose.at;
        assert_eq!(at, Point::new(120.0, 226.0));
    }

    #[test]
    fn a_duplicate_is_the_next_copy_that_exists() {
        let plan = after(&sample(), &[5, 6], Move::TakeOff);
        let edit_place = edit(&plan, PULL, &ids(&[1]), &Move::Duplicate);
        assert_eq!(
            edit_place,
            Err(MoveError::NoMoreCopies { name: "Crab shell".into(), copies: 1 })
        );
        let one_clam = after(&sample(), &[6], Move::TakeOff);
        let two = after(&one_clam, &[5], Move::Duplicate);
        let copies: Vec<u32> = two.pulls[&PULL]
            .placements
            .values()
            .filter(|p| p.mold.0 == 3)
            .map(|p| p.copy.0)
            .collect();
        assert_eq!(copies, [1, 2]);
    }

    #[test]
    fn an_empty_selection_is_told_what_to_do() {
        let error = edit(&sample(), PULL, &ids(&[]), &Move::Centre).expect_err("nothing to move");
        assert_eq!(error.to_string(), "nothing is selected; select a mold on the board first");
    }
}
