//! Batches of blocks whose best plan is known, and what must hold of every plan.

use std::collections::{BTreeMap, BTreeSet};

use super::{BatchPlan, Budget, Made, Progress, Seed, plan_batch, short_parts};
use crate::arrange::is_of_layout;
use crate::edit::Edit;
use crate::plan::{
    Batch, ExtraStock, Footprint, Machine, Mold, MoldId, PartWanted, Plan, PullId, Size, Stock,
    StockId, sample,
};
use crate::rules::check;
use crate::units::Length;

/// Blocks of these widths and depths, 10 mm tall, so many copies, so many in a kit; on a blank of 200 x 300 mm.
fn blocks(molds: &[(f64, f64, u32, u32)], kits: u32) -> Plan {
    let blank = Size::new(Length::mm(300.0), Length::mm(200.0));
    let mut plan =
        Plan::new("Batch", Machine::with_lip(blank, Length::mm(15.0), Length::mm(100.0)));
    let mut batch = Batch { kits, ..Batch::default() };
    for (id, &(width, depth, copies, per_kit)) in (1..).map(MoldId).zip(molds) {
        let footprint = Footprint::Rectangle { width: Length::mm(width), depth: Length::mm(depth) };
        let mold = Mold { copies, ..Mold::new("Block", footprint, Length::mm(10.0)) };
        plan = plan.apply(&Edit::AddMold(id, Box::new(mold))).expect("fits");
        batch.wanted.insert(id, PartWanted { per_kit, stock: None });
    }
    plan.apply(&Edit::SetBatch(Box::new(batch))).expect("fits")
}

fn planned(plan: &Plan, steps: u64) -> BatchPlan {
    plan_batch(plan, (Seed(1), Budget { steps }), &mut ()).expect("something is wanted")
}

/// Every layout keeps the rules, every part is made, and no bound is above the answer.
#[track_caller]
fn check_laws(plan: &Plan, answer: &BatchPlan) {
    let after =
        answer.edit.as_ref().map_or(plan.clone(), |edit| plan.apply(edit).expect("applies"));
    let mut made: BTreeMap<MoldId, u64> = BTreeMap::new();
    for sheet in &answer.sheets {
        assert!(sheet.bounds.least() <= sheet.pulls, "{sheet:?}");
        assert_eq!(sheet.pulls, sheet.layouts.iter().map(|layout| layout.times).sum::<u32>());
        for layout in &sheet.layouts {
            assert!(layout.times > 0);
            assert_eq!(after.pulls[&layout.pull].placements, layout.placements);
            assert_eq!(after.pulls[&layout.pull].stock, sheet.stock);
            assert!(!check(&after, layout.pull).iter().any(|finding| is_of_layout(finding.rule)));
            for (&mold, &n) in &layout.molds {
                *made.entry(mold).or_default() += u64::from(n) * u64::from(layout.times);
                assert!(n <= plan.molds[&mold].copies, "{mold}");
                assert_eq!(plan.batch.wanted[&mold].stock, sheet.stock);
            }
        }
        for (mold, parts) in &sheet.parts {
            assert_eq!(parts.wanted, plan.batch.n_wanted(*mold));
            assert!(parts.made >= u64::from(parts.wanted) && made[mold] == parts.made, "{parts:?}");
        }
    }
}

#[test]
fn what_fits_on_one_blank_is_pulled_as_often_as_the_scarcest_mold_asks() {
    let plan = blocks(&[(40.0, 40.0, 1, 2), (40.0, 40.0, 2, 1)], 10);
    let answer = planned(&plan, 1_000_000);
    check_laws(&plan, &answer);
    let [sheet] = answer.sheets.as_slice() else { panic!("{answer:?}") };
    assert_eq!((sheet.pulls, sheet.layouts.len()), (20, 1));
    assert!(sheet.is_proved() && sheet.is_fewest_layouts);
    assert_eq!(sheet.bounds.mold, Some((MoldId(1), 20)));
    // A second copy of the first halves it; one more of the second changes nothing.
    let saves: Vec<_> = sheet.bottlenecks.iter().map(|one| (one.mold.0, one.saves)).collect();
    assert_eq!(saves, [(1, 10), (2, 0)]);
}

#[test]
fn molds_that_never_share_a_blank_are_pulled_one_by_one() {
    // Any two of them are longer together than the blank.
    let plan = blocks(&[(200.0, 100.0, 1, 1), (200.0, 90.0, 1, 1), (180.0, 100.0, 1, 2)], 5);
    let answer = planned(&plan, 1_000_000);
    check_laws(&plan, &answer);
    assert_eq!((answer.pulls(), answer.n_layouts()), (20, 3));
}

#[test]
fn a_layout_of_the_makers_own_is_taken_as_it_is() {
    let mut plan = sample();
    let batch = Batch {
        kits: 20,
        wanted: (1..=5)
            .map(|id| (MoldId(id), PartWanted { per_kit: 1 + u32::from(id == 3), stock: None }))
            .collect(),
        ..Batch::default()
    };
    plan = plan.apply(&Edit::SetBatch(Box::new(batch))).expect("fits");
    let answer = planned(&plan, 2_000_000);
    check_laws(&plan, &answer);
    // The sample has one gap too small, so its pull is not taken; another layout holds the whole kit.
    assert_eq!((answer.pulls(), answer.n_layouts(), answer.edit.is_some()), (20, 1, true));
    let mended = plan.apply(answer.edit.as_ref().expect("new")).expect("applies");
    let again = planned(&mended, 2_000_000);
    assert_eq!((again.pulls(), again.edit.clone()), (20, None), "{again:?}");
    assert!(!again.sheets[0].layouts[0].is_new);
}

#[test]
fn sheets_do_not_share_pulls() {
    let mut plan = blocks(&[(40.0, 40.0, 1, 1), (40.0, 40.0, 1, 1)], 6);
    let red = ExtraStock { colour: "Red".to_owned(), stock: Stock::default() };
    let mut batch = (*plan.batch).clone();
    batch.stocks.insert(StockId(1), red);
    batch.wanted.insert(MoldId(2), PartWanted { per_kit: 1, stock: Some(StockId(1)) });
    plan = plan.apply(&Edit::SetBatch(Box::new(batch))).expect("fits");
    let answer = planned(&plan, 500_000);
    check_laws(&plan, &answer);
    let told: Vec<_> = answer.sheets.iter().map(|sheet| (sheet.stock, sheet.pulls)).collect();
    assert_eq!(told, [(None, 6), (Some(StockId(1)), 6)]);
    assert_eq!(answer.sheets[1].layouts[0].name, "Batch 1, Red");
    // Taken into the plan, each knows its sheet and its turn; asked again, nothing is left to add.
    let taken = plan.apply(answer.edit.as_ref().expect("new")).expect("applies");
    let order: Vec<_> =
        taken.order.iter().map(|turn| (taken.pulls[&turn.pull].stock, turn.times)).collect();
    assert_eq!(order, told);
    assert!(short_parts(&taken).is_empty());
    let again = planned(&taken, 500_000);
    assert_eq!((again.n_layouts(), &again.edit), (2, &None), "{again:?}");
    // The same layout in the other sheet is another pull: neither is made in the wrong plastic.
    let pulls: BTreeSet<PullId> = taken.order.iter().map(|turn| turn.pull).collect();
    let own = pulls.iter().find(|id| taken.pulls[*id].stock.is_none()).expect("one");
    let moved = taken.apply(&Edit::SetPullStock(*own, Some(StockId(1)))).expect("sets");
    let parts: Vec<_> = short_parts(&moved).into_iter().collect();
    assert_eq!(parts, [(MoldId(1), Made { wanted: 6, made: 0 })]);
    let mended = planned(&moved, 500_000);
    check_laws(&moved, &mended);
    assert!(mended.edit.is_some());
}

#[test]
fn a_mold_without_a_place_is_told_and_the_others_are_planned() {
    let plan = blocks(&[(400.0, 40.0, 1, 1), (40.0, 40.0, 1, 1)], 3);
    let answer = planned(&plan, 1_000_000);
    check_laws(&plan, &answer);
    assert_eq!((answer.unplaceable.clone(), answer.pulls()), (vec![MoldId(1)], 3));
}

#[test]
fn same_question_same_answer_and_a_stop_leaves_a_good_one() {
    let plan = blocks(&[(80.0, 60.0, 2, 2), (60.0, 60.0, 1, 1), (90.0, 40.0, 2, 3)], 7);
    let once = planned(&plan, 1_000_000);
    assert_eq!(once, planned(&plan, 1_000_000));
    check_laws(&plan, &once);
    // However little is tried, what is told to have no place has none.
    assert!(planned(&plan, 1).unplaceable.is_empty());
    for stop_after in [0, 1, 5, 20] {
        let mut heard = 0;
        let mut stop = |_: &Progress| {
            heard += 1;
            if heard > stop_after {
                std::ops::ControlFlow::Break(())
            } else {
                std::ops::ControlFlow::Continue(())
            }
        };
        let budget = Budget { steps: 1_000_000 };
        let answer = plan_batch(&plan, (Seed(1), budget), &mut stop).expect("asked");
        assert_eq!(answer.is_stopped, heard > stop_after);
        assert!(answer.unplaceable.is_empty(), "{answer:?}");
        for sheet in &answer.sheets {
            assert!(sheet.bounds.least() <= sheet.pulls);
        }
    }
}

#[test]
fn more_copies_take_no_more_pulls_and_more_kits_no_fewer() {
    let pulls = |copies: u32, kits: u32| {
        let plan =
            blocks(&[(80.0, 60.0, copies, 1), (60.0, 60.0, 1, 1), (100.0, 50.0, 1, 1)], kits);
        let answer = planned(&plan, 3_000_000);
        check_laws(&plan, &answer);
        answer.pulls()
    };
    let (one, two) = ([3, 6, 9].map(|kits| pulls(1, kits)), [3, 6, 9].map(|kits| pulls(2, kits)));
    assert!(one.is_sorted() && two.is_sorted(), "{one:?} {two:?}");
    assert!(two.iter().zip(&one).all(|(two, one)| two <= one), "{one:?} {two:?}");
}

#[test]
fn nothing_wanted_is_told() {
    let told = plan_batch(&sample(), (Seed(1), Budget { steps: 1000 }), &mut ());
    assert_eq!(
        told.expect_err("nothing").to_string(),
        "no part is wanted; say how many of each mold a kit holds"
    );
}
