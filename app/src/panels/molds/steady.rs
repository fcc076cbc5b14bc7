//! A mold changed so that what was not changed of its outline stays where it is on the blank.
//!
//! A mold stands by the middle of its bounds, and a corner that is moved moves that middle. Without this, drawing
//! one corner would shift all the others on the board.

use engine::edit::Edit;
use engine::geometry::{Point, Rect, Vec2};
use engine::order;
use engine::plan::{Footprint, Mold, MoldId, Placement, PlacementId, Plan};

/// An outline that keeps this many corners is the same outline changed; one that keeps fewer is another.
const KEPT: usize = 2;

/// The edit that makes a mold into `after`, and moves its placements by what the middle of its outline moved.
pub(super) fn steady_edit(plan: &Plan, id: MoldId, after: &Mold) -> Edit {
    let change = Edit::ChangeMold(id, Box::new(after.clone()));
    let before = plan.molds.get(&id).map(|mold| &mold.footprint);
    let Some(shift) = before.and_then(|before| shift(before, &after.footprint)) else {
        return change;
    };
    let mut edits = vec![change];
    for (&pull, layout) in &plan.pulls {
        let standing = || layout.placements.iter().filter(|(_, placement)| placement.mold == id);
        let moved = |(&key, placement): (&PlacementId, &Placement)| {
            (key, placement.pose.moved(placement.pose.map().apply_vec(shift)))
        };
        let poses = order::map(standing().map(moved));
        let locked = order::set(standing().filter(|(_, p)| p.locked).map(|(&key, _)| key));
        edits.push(Edit::Lock(pull, locked.clone(), false));
        edits.push(Edit::Move(pull, poses));
        edits.push(Edit::Lock(pull, locked, true));
    }
    Edit::All(edits)
}

/// How far the middle moved between two states of one outline; `None` when it did not, or they are not one.
fn shift(before: &Footprint, after: &Footprint) -> Option<Vec2> {
    let (Footprint::Outline { outer: before, .. }, Footprint::Outline { outer: after, .. }) =
        (before, after)
    else {
        return None;
    };
    let kept = before.points().iter().filter(|corner| after.points().contains(corner)).count();
    let middle = |bounds: Option<Rect>| bounds.map_or(Point::ORIGIN, Rect::center);
    let shift = middle(after.bounds()) - middle(before.bounds());
    (kept >= KEPT && shift != Vec2::ZERO).then_some(shift)
}

#[cfg(test)]
mod tests {
    use engine::geometry::Ring;
    use engine::plan::{PullId, sample};
    use engine::units::{Angle, Length};

    use super::*;

    const CRAB: MoldId = MoldId(2);
    const STANDING: PlacementId = PlacementId(1);

    /// The sample with its crab shell turned, locked where asked, and one corner of its outline drawn outwards.
    fn drawn(locked: bool) -> (Plan, Plan) {
        let mut plan = sample();
        let pull = plan.pulls.get_mut(&PullId(1)).expect("has a pull");
        let placement = std::sync::Arc::make_mut(pull).placements.get_mut(&STANDING);
        let placement = placement.expect("stands there");
        placement.pose.turn = Angle::degrees(30.0);
        placement.locked = locked;
        let mut mold = (*plan.molds[&CRAB]).clone();
        let Footprint::Outline { outer, .. } = &mut mold.footprint else {
            panic!("the crab shell is an outline");
        };
        let mut corners = outer.points().to_vec();
        corners[0].x += 12.0;
        *outer = Ring::new(corners);
        let after = plan.apply(&steady_edit(&plan, CRAB, &mold)).expect("is accepted");
        (plan, after)
    }

    fn corner_on_blank(plan: &Plan, at: usize) -> Point {
        let region = plan.molds[&CRAB].footprint.region(Length::mm(0.1));
        let pose = plan.pulls[&PullId(1)].placements[&STANDING].pose;
        pose.apply(region.outer.points()[at])
    }

    #[test]
    fn the_corners_that_were_not_drawn_stay_where_they_are() {
        let (before, after) = drawn(false);
        for at in [1, 9, 20] {
            let moved = corner_on_blank(&before, at).distance(corner_on_blank(&after, at));
            assert!(moved < 1e-9, "corner {at} moved by {moved} mm");
        }
        let drawn = corner_on_blank(&before, 0).distance(corner_on_blank(&after, 0));
        assert!((drawn - 12.0).abs() < 1e-9, "{drawn} mm");
    }

    #[test]
    fn a_locked_placement_stays_locked() {
        let (before, after) = drawn(true);
        assert!(after.pulls[&PullId(1)].placements[&STANDING].locked);
        assert!(corner_on_blank(&before, 9).distance(corner_on_blank(&after, 9)) < 1e-9);
    }

    #[test]
    fn another_outline_stands_by_its_own_middle() {
        let plan = sample();
        let corners = [(0.0, 0.0), (90.0, 0.0), (90.0, 60.0)];
        let outer = Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect());
        let footprint = Footprint::Outline { outer, holes: vec![] };
        let mold = Mold { footprint, ..(*plan.molds[&CRAB]).clone() };
        assert_eq!(steady_edit(&plan, CRAB, &mold), Edit::ChangeMold(CRAB, Box::new(mold)),);
    }
}
