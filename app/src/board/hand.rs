//! What a drag or a turn of the selection would do, as an edit that can be shown before it is made.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use engine::edit::Edit;
use engine::geometry::{Pose, Vec2};
use engine::moves::{self, Guide, Move, Snapped};
use engine::order;
use engine::plan::{PlacementId, Plan, PullId};
use engine::units::{Angle, Length};

use crate::state::Session;

/// A hand sets molds down to a tenth of a millimetre, unless it snaps to something finer.
const STEP_MM: f64 = 0.1;
/// Turns come in these steps unless the hand turns freely, and then in tenths of a degree.
const TURN_STEPS: (f64, f64) = (15.0, 0.1);

/// What a hand has taken hold of: what moves, in the plan it is taken from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Hold {
    plan: Arc<Plan>,
    pull: PullId,
    /// What moves; what is locked is left out.
    free: BTreeSet<PlacementId>,
}

/// An edit to show, and the lines that say what it snapped to.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Offer {
    /// The edit.
    pub(super) edit: Edit,
    /// The lines.
    pub(super) guides: Vec<Guide>,
}

impl Hold {
    /// The selection of a session, without what is locked.
    pub(super) fn new(session: &Session) -> Self {
        Self { plan: Arc::clone(session.plan()), pull: session.pull, free: session.grip().free }
    }

    /// What moves.
    pub(super) const fn free(&self) -> &BTreeSet<PlacementId> {
        &self.free
    }

    /// All moved by `by`; within `reach` of something worth snapping to, exactly there.
    pub(super) fn dragged(&self, by: Vec2, reach: Option<Length>) -> Option<Offer> {
        let by = Vec2::new(stepped(by.x, STEP_MM), stepped(by.y, STEP_MM));
        let poses = self.moved(by)?;
        let snapped = reach.map_or_else(Snapped::default, |reach| {
            moves::snap(&self.plan, self.pull, &poses, reach)
        });
        let edit = Edit::Move(self.pull, self.moved(by + snapped.by)?);
        Some(Offer { edit, guides: snapped.guides })
    }

    /// All turned as one by `by`, in steps; one mold alone comes to a whole step of its own turn.
    pub(super) fn turned(&self, by: Angle, is_free: bool) -> Option<Offer> {
        let step = if is_free { TURN_STEPS.1 } else { TURN_STEPS.0 };
        let before = match self.standing()?.values().collect::<Vec<_>>()[..] {
            [one] => one.turn.to_degrees(),
            _ => 0.0,
        };
        let by = Angle::degrees(stepped(before + by.to_degrees(), step) - before);
        let edit = moves::edit(&self.plan, self.pull, &self.free, &Move::Turn(by)).ok()?;
        Some(Offer { edit, guides: Vec::new() })
    }

    /// Where what moves stands; `None` when nothing does.
    fn standing(&self) -> Option<BTreeMap<PlacementId, Pose>> {
        let placements = &self.plan.pulls.get(&self.pull)?.placements;
        let free = self.free.iter();
        let standing =
            order::map(free.filter_map(|id| placements.get(id).map(|one| (*id, one.pose))));
        (!standing.is_empty()).then_some(standing)
    }

    fn moved(&self, by: Vec2) -> Option<BTreeMap<PlacementId, Pose>> {
        let standing = self.standing()?;
        Some(order::map(standing.into_iter().map(|(id, pose)| (id, pose.moved(by)))))
    }
}

fn stepped(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

#[cfg(test)]
mod tests {
    use engine::geometry::Point;
    use engine::plan::{PullId, sample};

    use super::*;
    use crate::state::Origin;

    fn hold(ids: &[u32]) -> Hold {
        let mut session = Session::new(sample(), Origin::Sample);
        session.selection = ids.iter().copied().map(PlacementId).collect();
        Hold::new(&session)
    }

    /// Where a mold of the sample stands.
    fn stands(id: u32) -> Point {
        sample().pulls[&PullId(1)].placements[&PlacementId(id)].pose.at
    }

    fn pose(offer: &Offer, id: u32) -> Pose {
        let Edit::Move(_, poses) = &offer.edit else { panic!("{:?}", offer.edit) };
        poses[&PlacementId(id)]
    }

    #[test]
    fn a_drag_without_snapping_comes_to_a_tenth_of_a_millimetre() {
        let offer = hold(&[1]).dragged(Vec2::new(10.234, -3.071), None).expect("an offer");
        let by = pose(&offer, 1).at - stands(1);
        assert!((by - Vec2::new(10.2, -3.1)).length() < 1e-9, "{by:?}");
    }

    #[test]
    fn a_drag_near_the_centre_line_of_another_snaps_onto_it_and_shows_it() {
        let reach = Length::mm(1.0);
        let short = Vec2::new(stands(2).x - stands(5).x - 0.3, 0.0);
        let offer = hold(&[5]).dragged(short, Some(reach)).expect("an offer");
        let at = pose(&offer, 5).at;
        assert!((at.x - stands(2).x).abs() < 1e-6, "{at:?}");
        assert!(!offer.guides.is_empty());
        let free = hold(&[5]).dragged(short, None).expect("an offer");
        assert!((pose(&free, 5).at.x - stands(2).x + 0.3).abs() < 1e-9);
        assert!(free.guides.is_empty());
    }

    #[test]
    fn one_mold_turns_to_whole_steps_of_its_own_turn() {
        let mut session = Session::new(sample(), Origin::Sample);
        session.selection = BTreeSet::from([PlacementId(4)]);
        let hand = Move::TurnTo(Angle::degrees(7.0));
        let edit = moves::edit(session.plan(), session.pull, &session.selection, &hand);
        let plan = session.plan().apply(&edit.expect("a turn")).expect("applies");
        let turned = Session { history: engine::edit::History::new(plan), ..session };
        let offer = Hold::new(&turned).turned(Angle::degrees(20.0), false).expect("an offer");
        assert!((pose(&offer, 4).turn.to_degrees() - 30.0).abs() < 1e-9);
        let free = Hold::new(&turned).turned(Angle::degrees(20.04), true).expect("an offer");
        assert!((pose(&free, 4).turn.to_degrees() - 27.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_locked_is_not_held() {
        let mut session = Session::new(sample(), Origin::Sample);
        let lock = Edit::Lock(PullId(1), BTreeSet::from([PlacementId(1)]), true);
        session.history = session.history.apply(&lock).expect("locks");
        session.selection = [1, 2].map(PlacementId).into();
        assert_eq!(*Hold::new(&session).free(), BTreeSet::from([PlacementId(2)]));
        session.selection = [1].map(PlacementId).into();
        assert_eq!(Hold::new(&session).dragged(Vec2::new(5.0, 0.0), None), None);
    }

    #[test]
    fn molds_dragged_together_keep_their_distance() {
        let offer = hold(&[1, 2]).dragged(Vec2::new(4.0, 4.0), Some(Length::mm(5.0)));
        let offer = offer.expect("an offer");
        let apart = pose(&offer, 2).at - pose(&offer, 1).at;
        assert!((apart - (stands(2) - stands(1))).length() < 1e-9);
    }
}
