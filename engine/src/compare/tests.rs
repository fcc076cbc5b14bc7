//! Differences of the sample and what a collaborator made of it.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::*;
use crate::edit::Edit;
use crate::geometry::Point;
use crate::plan::{Batch, CopyNumber, ExtraStock, Footprint, Plastic, Stock, StockId, sample};
use crate::units::Length;

const PULL: PullId = PullId(1);

/// The plan as it comes out of a link.
fn sent(plan: &Plan) -> Plan {
    unlink(&link(plan, PULL).expect("a link")).expect("a plan")
}

fn words(mine: &Plan, theirs: &Plan) -> Vec<String> {
    let found = changes(mine, theirs).expect("a comparison");
    found.list.iter().map(|change| change.words(mine, found.pull)).collect()
}

fn all(changes: &Changes) -> BTreeSet<usize> {
    (0..changes.list.len()).collect()
}

#[test]
fn a_plan_that_came_back_untouched_has_no_changes() {
    let mut plan = sample();
    // Finer than a link carries.
    let id = *plan.pulls[&PULL].placements.keys().next().expect("a mold");
    let pose = Pose::new(Point::new(98.000_34, 226.000_21), Angle::degrees(0.000_3));
    plan = plan.apply(&Edit::Move(PULL, BTreeMap::from([(id, pose)]))).expect("moves");
    assert_eq!(words(&plan, &sent(&plan)), Vec::<String>::new());
}

#[test]
fn the_sheet_of_a_pull_that_came_back_is_its_own_and_not_the_plans() {
    let stock = Stock { plastic: Plastic::Pvc, ..sample().stock };
    let red = ExtraStock { colour: "red".to_owned(), stock };
    let batch = Batch { stocks: [(StockId(1), red)].into(), ..Batch::default() };
    let edits = [Edit::SetBatch(Box::new(batch)), Edit::SetPullStock(PULL, Some(StockId(1)))];
    let mine = sample().apply(&Edit::All(edits.into())).expect("fits");
    let mut theirs = sent(&mine);
    assert_eq!(theirs.stock, stock);
    assert_eq!(words(&mine, &theirs), Vec::<String>::new());
    let thicker = Stock { gauge: Length::mm(2.0), ..stock };
    theirs = theirs.apply(&Edit::SetStock(thicker)).expect("sets");
    assert_eq!(words(&mine, &theirs), ["Stock sheet changed: gauge"]);
    let found = changes(&mine, &theirs).expect("a comparison");
    let taken = mine.apply(&found.edit(&mine, &all(&found))).expect("applies");
    assert_eq!((taken.stock, *taken.stock_of_pull(PULL)), (mine.stock, thicker));
}

#[test]
fn what_was_moved_turned_added_removed_and_set_is_told_and_taken_as_one_edit() {
    let mine = sample();
    let mut theirs = sent(&mine);
    let starfish =
        Mold::new("Kelp frond", Footprint::Circle { diameter: Length::mm(30.0) }, Length::mm(9.0));
    let new = theirs.free_mold_id();
    let pull = &theirs.pulls[&PULL];
    let first = pull.placements[&PlacementId(1)].pose;
    let second = pull.placements[&PlacementId(2)].pose;
    let moved = Pose::new(Point::new(first.at.x + 12.0, first.at.y), first.turn);
    let turned = Pose::new(second.at, second.turn + Angle::degrees(15.0));
    let stands = Placement {
        mold: new,
        copy: CopyNumber(1),
        pose: Pose::new(Point::new(280.0, 150.0), Angle::ZERO),
        locked: false,
    };
    let mut settings = theirs.settings;
    settings.clearance.factor = 1.5;
    for edit in [
        Edit::AddMold(new, Box::new(starfish)),
        Edit::Move(PULL, BTreeMap::from([(PlacementId(1), moved), (PlacementId(2), turned)])),
        Edit::TakeOff(PULL, BTreeSet::from([PlacementId(6)])),
        Edit::Place(PULL, BTreeMap::from([(PlacementId(9), stands)])),
        Edit::SetSettings(settings),
    ] {
        theirs = theirs.apply(&edit).expect("an edit");
    }
    assert_eq!(
        words(&mine, &theirs),
        [
            "Rules changed: clearance",
            "Kelp frond is a new mold",
            "Crab shell is moved by 12.0 mm",
            "Limpet is turned by 15.0\u{b0}",
            "A new mold is put on the blank",
            "Clam half #2 is taken off the blank",
        ]
    );
    let found = changes(&mine, &theirs).expect("a comparison");
    let taken = mine.apply(&found.edit(&mine, &all(&found))).expect("one edit");
    assert_eq!(sent(&taken), sent(&theirs));
    // The new mold comes along with the place it stands at; all else stays.
    let place: BTreeSet<usize> = (0..found.list.len())
        .filter(|at| matches!(found.list[*at].what, What::Added(..)))
        .collect();
    let part = mine.apply(&found.edit(&mine, &place)).expect("one edit");
    assert_eq!(part.molds.len(), mine.molds.len() + 1);
    assert_eq!(part.pulls[&PULL].placements.len(), 7);
    assert_eq!(part.pulls[&PULL].placements[&PlacementId(1)].pose, first);
    assert!(mine.apply(&found.edit(&mine, &BTreeSet::new())).expect("nothing") == mine);
}

#[test]
fn a_locked_mold_is_moved_and_locked_again() {
    let ids = BTreeSet::from([PlacementId(1)]);
    let mine = sample().apply(&Edit::Lock(PULL, ids.clone(), true)).expect("locks");
    let theirs = sent(&mine).apply(&Edit::Lock(PULL, ids.clone(), false)).expect("frees");
    let to = Pose::new(Point::new(120.0, 210.0), Angle::ZERO);
    let theirs =
        theirs.apply(&Edit::Move(PULL, BTreeMap::from([(PlacementId(1), to)]))).expect("moves");
    let theirs = theirs.apply(&Edit::Lock(PULL, ids, true)).expect("locks");
    let found = changes(&mine, &theirs).expect("a comparison");
    let taken = mine.apply(&found.edit(&mine, &all(&found))).expect("one edit");
    let placement = taken.pulls[&PULL].placements[&PlacementId(1)];
    assert!(placement.locked && placement.pose == to);
}

#[test]
fn a_mold_that_is_new_here_is_not_removed_unless_asked_for() {
    let theirs = sent(&sample());
    let id = sample().free_mold_id();
    let urchin =
        Mold::new("Urchin", Footprint::Circle { diameter: Length::mm(40.0) }, Length::mm(20.0));
    let mine = sample().apply(&Edit::AddMold(id, Box::new(urchin))).expect("a mold");
    let found = changes(&mine, &theirs).expect("a comparison");
    assert_eq!(found.list, [Change { what: What::MoldRemoved(id), is_usual: false }]);
}

#[test]
fn a_plan_of_somebody_else_comes_in_beside_mine() {
    let mine = sample();
    let mut theirs = Plan::new("Rock pool", mine.machine);
    let drum =
        Mold::new("Drum", Footprint::Circle { diameter: Length::mm(50.0) }, Length::mm(20.0));
    theirs.molds.insert(MoldId(1), Arc::new(drum));
    theirs.pulls = BTreeMap::from([(PullId(4), Arc::new(Pull::new("Pull 4")))]);
    let stands = Placement {
        mold: MoldId(1),
        copy: CopyNumber(1),
        pose: Pose::new(Point::new(200.0, 150.0), Angle::ZERO),
        locked: false,
    };
    let theirs = theirs
        .apply(&Edit::Place(PullId(4), BTreeMap::from([(PlacementId(1), stands)])))
        .expect("stands");
    let found = changes(&mine, &theirs).expect("a comparison");
    let usual: BTreeSet<usize> =
        (0..found.list.len()).filter(|at| found.list[*at].is_usual).collect();
    let both = mine.apply(&found.edit(&mine, &usual)).expect("one edit");
    assert_eq!(
        both.molds.len(),
        mine.molds.len() + 1,
        "the limpet keeps its number, the drum gets a free one"
    );
    assert_eq!(both.molds[&MoldId(1)], mine.molds[&MoldId(1)]);
    assert_eq!(both.pulls[&PullId(4)].placements.len(), 1);
}
