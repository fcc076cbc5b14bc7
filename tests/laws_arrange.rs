//! Laws of laying out: what must hold of every answer, on random plans from fixed seeds.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;

use engine::arrange::{
    Aims, Answer, Budget, Intent, MoldCopy, Outcome, Progress, Request, Worth, arrange,
};
use engine::edit::Edit;
use engine::geometry::{Point, Pose, Rect, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Sides,
    Size, Turns,
};
use engine::rules::nearest;
use engine::units::{Angle, Length};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

mod laid_out;
mod random_plan;

use laid_out::{PULL, answer, edits, is_good, request, with_molds};

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_261),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

#[test]
fn no_answer_has_a_finding_that_it_claims_to_avoid() {
    let heard = RefCell::new(BTreeMap::<&str, u32>::new());
    let law = |(plan, intent, is_all_meant): (Plan, Intent, bool)| {
        let copies = if is_all_meant { every_copy(&plan) } else { Vec::new() };
        let asked = Request { copies, ..request(intent) };
        if let Ok(answer) = answer(&plan, &asked) {
            sounds_and_stands_well(&plan, &answer, &asked)?;
            *heard.borrow_mut().entry(kind(&answer)).or_default() += 1;
        }
        Ok(())
    };
    random_plan::runner(150).run(&(plans(), intents(), any::<bool>()), law).expect("the law holds");
    let heard = heard.into_inner();
    for kind in ["fits", "too full", "most", "spread", "tidied"] {
        let n_heard = heard.get(kind).copied().unwrap_or_default();
        assert!(n_heard > 8, "the law was hardly asked of `{kind}`: {heard:?}");
    }
}

fn every_copy(plan: &Plan) -> Vec<MoldCopy> {
    let copies = |(&id, n): (&MoldId, u32)| (1..=n).map(move |copy| (id, CopyNumber(copy)));
    plan.molds.iter().map(|(id, mold)| (id, mold.copies)).flat_map(copies).collect()
}

fn kind(answer: &Answer) -> &'static str {
    match answer.outcome {
        Outcome::Fits { .. } => "fits",
        Outcome::TooFull(_) => "too full",
        Outcome::Most(_) => "most",
        Outcome::Spread { .. } => "spread",
        Outcome::Tidied { .. } => "tidied",
    }
}

proptest! {
    #![proptest_config(config(60))]

    #[test]
    fn the_same_seed_finds_the_same_answer(plan in plans(), intent in intents()) {
        let asked = request(intent);
        prop_assert_eq!(answer(&plan, &asked), answer(&plan, &asked));
    }

    #[test]
    fn a_search_that_is_stopped_leaves_a_good_edit_or_none(
        plan in plans(), intent in intents(), after in 0..30_u32,
    ) {
        let asked = request(intent);
        let mut heard = 0;
        let mut stop = |_: &Progress<'_>| {
            heard += 1;
            if heard > after { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        if let Ok(answer) = arrange(&plan, &asked, &mut stop) {
            for edit in edits(&answer) {
                is_good(&plan, edit, &asked)?;
            }
        }
    }
}

proptest! {
    #![proptest_config(config(60))]

    #[test]
    fn any_plan_that_edits_can_make_is_answered(plan in random_plan::plan(), intent in intents(), pull in 1..3_u32) {
        let budget = Budget { steps: 4000 };
        let asked = Request { pull: PullId(pull), budget, ..request(intent) };
        if let Ok(answer) = answer(&plan, &asked) {
            sounds_and_stands_well(&plan, &answer, &asked)?;
        }
    }
}

proptest! {
    #![proptest_config(config(25))]

    #[test]
    fn a_spread_never_lowers_the_smallest_gap_above_the_rule(plan in plans(), room_only in any::<bool>()) {
        let aims = if room_only { Aims::ROOM } else { Aims::default() };
        let asked = request(Intent::Spread(aims));
        if let Ok(Answer { outcome: Outcome::Spread { before, after }, edit, .. }) = answer(&plan, &asked) {
            prop_assert!(after.spare >= before.spare - Length::mm(1e-6), "{:?} {:?}", before, after);
            let moved = edit.map_or_else(|| plan.clone(), |edit| plan.apply(&edit).expect("applies"));
            let measured = spare(&moved);
            if measured.is_finite() && movable(&plan).len() == plan.pulls[&PULL].placements.len() {
                prop_assert!((measured - after.spare.to_mm()).abs() < 1e-5, "{} {:?}", measured, after);
            }
        }
    }

    #[test]
    fn tidying_twice_is_tidying_once(plan in plans()) {
        let asked = request(Intent::Tidy);
        let Ok(first) = answer(&plan, &asked) else { return Ok(()) };
        if let (Outcome::Tidied { .. }, Some(edit)) = (&first.outcome, &first.edit) {
            let tidy = plan.apply(edit).expect("applies");
            let second = answer(&tidy, &asked).expect("makes sense");
            prop_assert_eq!(second.edit, None);
        }
    }

    #[test]
    fn moving_the_bench_moves_every_answer_and_changes_nothing_of_it(
        plan in plans(),
        intent in intents(),
        by in (0..40_000_i32, 0..40_000_i32),
    ) {
        // Whole micrometres, since found layouts are rounded to those.
        let by = Vec2::new(f64::from(by.0) / 1e3, f64::from(by.1) / 1e3);
        let asked = request(intent);
        let moved = with_everything_moved(&plan, by);
        let (Ok(here), Ok(there)) = (answer(&plan, &asked), answer(&moved, &asked)) else {
            prop_assert_eq!(answer(&plan, &asked), answer(&moved, &asked));
            return Ok(());
        };
        prop_assert_eq!((kind(&here), here.steps), (kind(&there), there.steps));
        prop_assert_eq!(here.edit.is_some(), there.edit.is_some());
        let (Some(one), Some(other)) = (&here.edit, &there.edit) else { return Ok(()) };
        let (one, other) = (plan.apply(one).expect("applies"), moved.apply(other).expect("applies"));
        let (one, other) = (&one.pulls[&PULL].placements, &other.pulls[&PULL].placements);
        prop_assert!(one.keys().eq(other.keys()));
        for (a, b) in one.values().zip(other.values()) {
            prop_assert_eq!((a.mold, a.copy, a.pose.turn), (b.mold, b.copy, b.pose.turn));
            prop_assert!(a.pose.moved(by).at.distance(b.pose.at) < 1e-6, "{:?} {:?}", a, b);
        }
    }
}

// Judging.

/// Every layout is good, and there is something to say about it.
fn sounds_and_stands_well(
    plan: &Plan,
    answer: &Answer,
    asked: &Request,
) -> Result<(), TestCaseError> {
    for edit in edits(answer) {
        is_good(plan, edit, asked)?;
    }
    for words in said(answer, plan) {
        let is_odd = words.is_empty() || words.contains("NaN") || words.contains("inf ");
        prop_assert!(!is_odd, "{}", words);
    }
    Ok(())
}

fn said(answer: &Answer, plan: &Plan) -> Vec<String> {
    let ways = answer.ways_out(plan).into_iter().map(|way| way.words);
    [answer.title()].into_iter().chain(answer.sentences(plan)).chain(ways).collect()
}

/// What stands in the pull asked about and is not locked.
fn movable(plan: &Plan) -> BTreeSet<PlacementId> {
    let placements = plan.pulls[&PULL].placements.iter();
    placements.filter(|(_, p)| !p.locked).map(|(&id, _)| id).collect()
}

/// The smallest gap above the rule, as the board shows it; infinite when nothing stands there.
fn spare(plan: &Plan) -> f64 {
    let mut least = f64::INFINITY;
    for &id in plan.pulls[&PULL].placements.keys() {
        let Some(near) = nearest(plan, PULL, id) else { continue };
        // Only the nearest are shown, and another may be tighter; so all are taken when there are few.
        let gaps = near.molds.iter().map(|n| n.gap.distance - n.allowed);
        let sides = near.sides.iter().map(|side| side.distance - side.allowed);
        least = gaps.chain(sides).map(Length::to_mm).fold(least, f64::min);
    }
    least
}

/// The same plan farther from the corner of the blank.
fn with_everything_moved(plan: &Plan, by: Vec2) -> Plan {
    let mut machine = plan.machine;
    let (x, y) = (Length::mm(by.x), Length::mm(by.y));
    machine.blank = Size::new(machine.blank.width + x, machine.blank.depth + y);
    let lip = machine.lip;
    machine.lip = Sides { front: lip.front + y, left: lip.left + x, ..lip };
    machine.platen = machine.platen.moved(by);
    let poses = plan.pulls[&PULL].placements.iter().map(|(&id, p)| (id, p.pose.moved(by)));
    let locked: BTreeSet<PlacementId> =
        plan.pulls[&PULL].placements.iter().filter(|(_, p)| p.locked).map(|(&id, _)| id).collect();
    let edits = vec![
        Edit::SetMachine(machine),
        Edit::Lock(PULL, locked.clone(), false),
        Edit::Move(PULL, poses.collect()),
        Edit::Lock(PULL, locked, true),
    ];
    plan.apply(&Edit::All(edits)).expect("moves")
}

// Making.

fn intents() -> impl Strategy<Value = Intent> {
    let values = BTreeMap::from([(MoldId(1), 2.0), (MoldId(2), 0.0)]);
    prop_oneof![
        Just(Intent::Fit),
        Just(Intent::Most(Worth::ByCount)),
        Just(Intent::Most(Worth::ByValue(values))),
        Just(Intent::Spread(Aims::default())),
        Just(Intent::Spread(Aims::ROOM)),
        Just(Intent::Tidy),
    ]
}

/// Up to six molds of bench size about a bench blank, some locked, some standing badly.
fn plans() -> impl Strategy<Value = Plan> {
    let places = prop::collection::vec(
        (0..4_usize, 0.0..400.0, 0.0..300.0, turns_in_degrees(), any::<u8>()),
        1..6,
    );
    let machine = (330.0..480.0, 260.0..360.0, 0.0..25.0, 0.0..20.0);
    (prop::collection::vec(molds(), 1..5), places, machine, 1.0..2.0).prop_map(
        |(molds, places, (width, depth, lip, off), factor)| {
            let blank = Size::new(Length::mm(width), Length::mm(depth));
            let mut machine = Machine::with_lip(blank, Length::mm(lip), Length::mm(100.0));
            let opening = machine.opening();
            machine.platen = Rect::new(opening.min + Vec2::new(off, off), opening.max);
            let mut plan = with_molds(&Plan::new("Law", machine), &molds);
            plan.settings.clearance.factor = factor;
            let mut used: BTreeMap<usize, u32> = BTreeMap::new();
            let mut placements = BTreeMap::new();
            for (n, (mold, x, y, turn, lock)) in (1..).zip(places) {
                let mold = mold % molds.len();
                let copy = used.entry(mold).or_insert(0);
                *copy += 1;
                placements.insert(
                    PlacementId(n),
                    Placement {
                        mold: MoldId(u32::try_from(mold).expect("few") + 1),
                        copy: CopyNumber(*copy),
                        pose: Pose::new(Point::new(x, y), Angle::degrees(turn)),
                        locked: lock < 30,
                    },
                );
            }
            plan.apply(&Edit::Place(PULL, placements)).expect("places")
        },
    )
}

fn turns_in_degrees() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(90.0), 0.0..360.0]
}

fn molds() -> impl Strategy<Value = Mold> {
    let turns = prop_oneof![Just(Turns::Free), Just(Turns::Quarter), Just(Turns::Fixed)];
    (footprints(), 5.0..42.0, turns, 1..4_u32).prop_map(|(footprint, height, turns, copies)| Mold {
        turns,
        copies,
        ..Mold::new("Kelp", footprint, Length::mm(height))
    })
}

fn footprints() -> impl Strategy<Value = Footprint> {
    let size = || (15.0..100.0).prop_map(Length::mm);
    let crossed = [(0.0, 0.0), (30.0, 30.0), (30.0, 0.0), (0.0, 30.0)];
    let ring = |corners: &[(f64, f64)]| {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    };
    let crossed = Footprint::Outline { outer: ring(&crossed), holes: vec![] };
    prop_oneof![
        4 => (size(), size()).prop_map(|(width, depth)| Footprint::Rectangle { width, depth }),
        2 => size().prop_map(|diameter| Footprint::Circle { diameter }),
        1 => (size(), size()).prop_map(|(width, depth)| Footprint::Ellipse { width, depth }),
        4 => star(),
        1 => Just(crossed),
    ]
}

/// An outline that never crosses itself: corners in order round its centre.
fn star() -> impl Strategy<Value = Footprint> {
    prop::collection::vec(12.0..55.0, 3..12).prop_map(|reaches| {
        let step = 360.0 / f64::from(u32::try_from(reaches.len()).expect("few corners"));
        let corner = |(i, reach): (u32, &f64)| {
            Point::ORIGIN + Vec2::unit(Angle::degrees(step * f64::from(i))) * *reach
        };
        let outer = Ring::new((0..).zip(&reaches).map(corner).collect());
        Footprint::Outline { outer, holes: vec![] }
    })
}
