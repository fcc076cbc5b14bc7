//! Small pulls for the tests of this room: blocks on a bench blank.

use std::collections::BTreeMap;

use super::scene::Scene;
use super::{Budget, Intent, Request, Seed};
use crate::edit::Edit;
use crate::geometry::{Point, Pose};
use crate::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size, Turns,
};
use crate::rules::ReadyMolds;
use crate::units::{Angle, Length};

pub(super) const PULL: PullId = PullId(1);

/// A block of this width, 40 mm deep, of this height, that may be turned by quarters.
pub(super) fn block(width: f64, height: f64) -> Mold {
    let footprint = Footprint::Rectangle { width: Length::mm(width), depth: Length::mm(40.0) };
    Mold { turns: Turns::Quarter, ..Mold::new("Limpet", footprint, Length::mm(height)) }
}

/// A plan with an opening from (15, 15) to (385, 285) and one copy of each mold standing at x, y and a turn in degrees.
pub(super) fn standing(molds: &[(Mold, (f64, f64, f64))]) -> Plan {
    let blank = Size::new(Length::mm(400.0), Length::mm(300.0));
    let mut plan =
        Plan::new("Fixture", Machine::with_lip(blank, Length::mm(15.0), Length::mm(100.0)));
    let mut placements = BTreeMap::new();
    for (n, (mold, (x, y, turn))) in (1..).zip(molds) {
        let edit = Edit::AddMold(MoldId(n), Box::new(mold.clone()));
        plan = plan.apply(&edit).expect("adds");
        let pose = Pose::new(Point::new(*x, *y), Angle::degrees(*turn));
        let placement = Placement { mold: MoldId(n), copy: CopyNumber(1), pose, locked: false };
        placements.insert(PlacementId(n), placement);
    }
    plan.apply(&Edit::Place(PULL, placements)).expect("places")
}

pub(super) fn request(intent: Intent) -> Request {
    let budget = Budget { steps: 100_000 };
    Request { pull: PULL, copies: Vec::new(), intent, seed: Seed(1), budget }
}

/// All that stands in the pull, to be moved.
pub(super) fn scene(plan: &Plan) -> Scene<'_> {
    Scene::new(plan, &request(Intent::Fit), &ReadyMolds::default()).expect("makes sense")
}
