//! Small layouts for the tests of the rules, built by the edits a person would make.

use std::collections::BTreeMap;

use super::{Finding, Rule, check};
use crate::edit::Edit;
use crate::geometry::{Point, Pose, Ring};
use crate::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size,
};
use crate::units::{Angle, Length};

pub(super) const PULL: PullId = PullId(1);

/// A former for a 400 x 300 mm blank with 15 mm lips, an opening from (15, 15) to (385, 285), that clears 100 mm.
pub(super) fn machine() -> Machine {
    let blank = Size::new(Length::mm(400.0), Length::mm(300.0));
    Machine::with_lip(blank, Length::mm(15.0), Length::mm(100.0))
}

/// Where a mold stands: x and y in millimetres, and its turn in degrees.
type Standing = (f64, f64, f64);

/// A plan with each mold as often as it is given a place.
pub(super) fn layout(molds: &[(&Mold, &[Standing])]) -> Plan {
    let mut plan = Plan::new("Fixture", machine());
    let mut placements = BTreeMap::new();
    for (id, (mold, places)) in (1..).map(MoldId).zip(molds) {
        let edit = Edit::AddMold(id, Box::new((*mold).clone()));
        plan = plan.apply(&edit).expect("the fixture's mold is accepted");
        for (copy, &(x, y, turn)) in (1..).map(CopyNumber).zip(*places) {
            let pose = Pose::new(Point::new(x, y), Angle::degrees(turn));
            let number = u32::try_from(placements.len()).expect("few placements") + 1;
            let placement = Placement { mold: id, copy, pose, locked: false };
            placements.insert(PlacementId(number), placement);
        }
    }
    plan.apply(&Edit::Place(PULL, placements)).expect("the fixture's places are accepted")
}

/// A 40 x 40 mm block of this height, with 3 degrees of draft.
pub(super) fn block(name: &str, height: f64) -> Mold {
    let side = Length::mm(40.0);
    Mold::new(name, Footprint::Rectangle { width: side, depth: side }, Length::mm(height))
}

/// A mold over an outline of these corners.
pub(super) fn outlined(corners: &[(f64, f64)]) -> Mold {
    let outer = Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect());
    Mold::new("Kelp", Footprint::Outline { outer, holes: vec![] }, Length::mm(5.0))
}

/// What one rule finds.
pub(super) fn found(plan: &Plan, rule: Rule) -> Vec<Finding> {
    check(plan, PULL).into_iter().filter(|finding| finding.rule == rule).collect()
}

/// Compares what one rule finds, in words, with what it should say; nothing for a layout that passes.
#[track_caller]
pub(super) fn check_words(plan: &Plan, rule: Rule, expected: &[[&str; 4]]) {
    let told: Vec<[String; 4]> = found(plan, rule)
        .iter()
        .map(|finding| {
            let severity = finding.severity.word().to_owned();
            let reason = finding.reason(plan, PULL);
            [severity, finding.title(plan, PULL), reason, finding.next_step(plan, PULL)]
        })
        .collect();
    assert_eq!(told, expected);
}
