//! The headless program lays out as it is asked: what molds are worth, what matters in a spread, what is locked.

use std::collections::BTreeSet;

use engine::edit::Edit;
use engine::file::{load, save};
use engine::geometry::{Point, Pose};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size,
    Turns, sample,
};
use engine::units::{Angle, Length};
use program::{json, run};
use serde_json::{Value, json as value};

mod program;

const PULL: PullId = PullId(1);

/// A blank for one of two molds, a wide and a narrow one; the margin is 25 mm.
fn one_of_two() -> Plan {
    let blank = Size::new(Length::mm(180.0), Length::mm(130.0));
    let plan = Plan::new("Small", Machine::with_lip(blank, Length::mm(10.0), Length::mm(100.0)));
    let mold = |id: u32, width: f64| {
        let footprint = Footprint::Rectangle { width: Length::mm(width), depth: Length::mm(60.0) };
        let turns = Turns::Fixed;
        let mold = Mold { turns, ..Mold::new("Limpet", footprint, Length::mm(20.0)) };
        Edit::AddMold(MoldId(id), Box::new(mold))
    };
    plan.apply(&Edit::All(vec![mold(1, 100.0), mold(2, 50.0)])).expect("adds")
}

#[test]
fn a_pull_is_filled_with_what_is_worth_most() {
    let plan = save(&one_of_two());
    for (worth, stands, sum) in [("1=2.5", 1, 2.5), ("2=3,1=1", 2, 3.0)] {
        let arguments = ["fill", "-", "--steps", "400000", "--worth", worth];
        let said = run(&arguments, plan.as_bytes());
        assert_eq!(said.status, 1, "one is left out: {}", said.message);
        let most = &json(&said)["outcome"]["most"];
        assert_eq!(most["placed"], value!([{ "mold": stands, "copy": 1 }]), "{worth}");
        assert_eq!(most["worth"], value!(sum), "{worth}");
    }
    for worth in ["1", "one=2", "1=2;2=3", "1=x"] {
        let said = run(&["fill", "-", "--worth", worth], plan.as_bytes());
        assert_eq!(said.status, 2);
        assert!(said.message.contains("give the number of each mold"), "{}", said.message);
    }
}

#[test]
fn filling_leaves_what_is_locked() {
    let pose = Pose::new(Point::new(76.3, 61.7), Angle::ZERO);
    let placement = Placement { mold: MoldId(2), copy: CopyNumber(1), pose, locked: true };
    let edit = Edit::Place(PULL, [(PlacementId(4), placement)].into());
    let plan = one_of_two().apply(&edit).expect("places");
    // The wide one is worth more, and has no room beside what is locked.
    let arguments = ["fill", "-", "--steps", "400000", "--worth", "1=9"];
    let said = run(&arguments, save(&plan).as_bytes());
    let after = load(&json(&said)["plan"].to_string()).expect("a plan");
    assert_eq!(after.pulls[&PULL].placements, plan.pulls[&PULL].placements);
}

#[test]
fn what_matters_in_a_spread_can_be_said() {
    let plan = save(&sample());
    let spread = |aims: &str| {
        let arguments = ["arrange", "-", "--intent", "spread", "--steps", "300000", "--aims", aims];
        run(&arguments, plan.as_bytes())
    };
    let [tall, room] = ["0,1,0,0", "1,0,0,0"].map(|aims| json(&spread(aims)));
    let after = |said: &Value, key: &str| {
        said["outcome"]["spread"]["after"][key].as_f64().unwrap_or_else(|| panic!("{said}"))
    };
    assert!(after(&tall, "tall_from_middle_mm") < after(&room, "tall_from_middle_mm"));
    assert!(after(&room, "spare_mm") > after(&tall, "spare_mm"));
    for aims in ["1,2,3", "1,2,3,x", "all"] {
        let said = spread(aims);
        assert_eq!(said.status, 2);
        assert!(said.message.contains("give four weights"), "{}", said.message);
    }
    assert!(spread("1,1,1,-1").message.contains("cannot be weighed"));
}

#[test]
fn what_a_turned_blank_and_a_smaller_factor_would_do_is_always_told() {
    let plan = one_of_two();
    let pose = Pose::new(Point::new(76.3, 61.7), Angle::ZERO);
    let placement = Placement { mold: MoldId(2), copy: CopyNumber(1), pose, locked: false };
    let placed = Edit::Place(PULL, [(PlacementId(4), placement)].into());
    let locked = Edit::Lock(PULL, BTreeSet::from([PlacementId(4)]), true);
    let wide = Placement { mold: MoldId(1), ..placement };
    let beside = Edit::Place(PULL, [(PlacementId(5), wide)].into());
    let held = plan.apply(&Edit::All(vec![placed, locked, beside])).expect("places");
    for (plan, turned, words) in [
        (&plan, "does not help", "was not seen to help"),
        (&held, "not tried: something stays where it is", "something on it stays where it is"),
    ] {
        let said = json(&run(&["arrange", "-", "--steps", "400000"], save(plan).as_bytes()));
        let full = &said["outcome"]["too_full"];
        assert_eq!(full["turned_blank"], turned, "{said}");
        assert_eq!(full["clearance_factor"], value!({ "none_down_to": 0.5 }), "{said}");
        let report = said["report"].to_string();
        assert!(report.contains(words) && report.contains("a clearance factor of 0.5"), "{report}");
    }
}
