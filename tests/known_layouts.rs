//! Layouts whose answer is known: least movements worked by hand, closed forms, every subset tried.

use std::collections::{BTreeMap, BTreeSet};

use engine::arrange::{
    Aims, Budget, Intent, Measures, MoldCopy, Outcome, Request, Seed, SmallerFactor, TurnedBlank,
    Worth,
};
use engine::edit::Edit;
use engine::geometry::{Point, Pose, Ring};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size,
    Turns, sample,
};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;

mod laid_out;
#[allow(dead_code, reason = "shared with the benchmarks, and nobody needs all of it")]
#[path = "../engine/benches/puzzle/mod.rs"]
mod puzzle;

use laid_out::{PULL, answer, edits, is_good, request, with_molds};
use puzzle::{Cut, Turning};

/// A blank of 400 x 300 mm with lips of 15 mm, nothing on it, margins of 25 mm.
fn bench() -> Plan {
    let blank = Size::new(Length::mm(400.0), Length::mm(300.0));
    Plan::new("Bench", Machine::with_lip(blank, Length::mm(15.0), Length::mm(100.0)))
}

/// A block 40 mm long and deep and 20 mm high: 35 mm are asked between two, 25 to the clamp.
fn block() -> Mold {
    let side = Length::mm(40.0);
    let footprint = Footprint::Rectangle { width: side, depth: side };
    Mold { turns: Turns::Quarter, ..Mold::new("Limpet", footprint, Length::mm(20.0)) }
}

fn standing(plan: &Plan, places: &[(u32, u32, f64, f64)]) -> Plan {
    let placement = |&(mold, copy, x, y): &(u32, u32, f64, f64)| Placement {
        mold: MoldId(mold),
        copy: CopyNumber(copy),
        pose: Pose::new(Point::new(x, y), Angle::ZERO),
        locked: false,
    };
    let placements = (1..).map(PlacementId).zip(places.iter().map(placement)).collect();
    plan.apply(&Edit::Place(PULL, placements)).expect("places")
}

fn tidied(plan: &Plan) -> BTreeMap<PlacementId, f64> {
    let asked = request(Intent::Tidy);
    let answer = answer(plan, &asked).expect("makes sense");
    for edit in edits(&answer) {
        is_good(plan, edit, &asked).expect("good");
    }
    match answer.outcome {
        Outcome::Tidied { moved } => moved.into_iter().map(|(id, by)| (id, by.to_mm())).collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_blocks_too_close_part_by_just_what_is_missing() {
    let plan = with_molds(&bench(), &[Mold { copies: 2, ..block() }]);
    for missing in [0.5, 8.0, 30.0] {
        let plan = standing(&plan, &[(1, 1, 150.0, 150.0), (1, 2, 225.0 - missing, 150.0)]);
        let moved = tidied(&plan);
        assert_near!(moved.values().sum(), missing, 0.01);
        assert!(moved.values().all(|by| (by - missing / 2.0).abs() < 0.01), "{moved:?}");
    }
}

#[test]
fn beside_a_locked_block_the_other_moves_all_that_is_missing() {
    let plan = with_molds(&bench(), &[Mold { copies: 2, ..block() }]);
    let plan = standing(&plan, &[(1, 1, 150.0, 150.0), (1, 2, 217.0, 150.0)]);
    let locked = plan.apply(&Edit::Lock(PULL, BTreeSet::from([PlacementId(1)]), true));
    let moved = tidied(&locked.expect("locks"));
    assert_eq!(moved.keys().copied().collect::<Vec<_>>(), [PlacementId(2)]);
    assert_near!(moved[&PlacementId(2)], 8.0, 0.01);
}

#[test]
fn at_the_clamp_a_block_moves_straight_in_and_the_others_stay() {
    let plan = with_molds(&bench(), &[Mold { copies: 2, ..block() }]);
    // The left margin ends at 40 mm, so the centre may come to 60.
    let plan = standing(&plan, &[(1, 1, 48.0, 150.0), (1, 2, 250.0, 150.0)]);
    let moved = tidied(&plan);
    assert_eq!(moved.len(), 1);
    assert_near!(moved[&PlacementId(1)], 12.0, 0.01);
}

#[test]
fn a_row_of_three_parts_by_the_least_sum_of_squares() {
    let plan = with_molds(&bench(), &[Mold { copies: 3, ..block() }]);
    // 75 mm from middle to middle are asked; the two gaps lack 9 and 3. The least sum of squares of a + b with
    // b - a = 9 and c - b = 3 is a = -7, b = 2, c = 5 (worked by hand: the moves sum to nothing).
    let plan = standing(&plan, &[(1, 1, 120.0, 150.0), (1, 2, 186.0, 150.0), (1, 3, 258.0, 150.0)]);
    let moved = tidied(&plan);
    for (id, by) in [(1, 7.0), (2, 2.0), (3, 5.0)] {
        assert_near!(moved[&PlacementId(id)], by, 0.01);
    }
}

#[test]
fn the_sample_is_tidied_by_moving_little() {
    let moved = tidied(&sample());
    assert!(!moved.is_empty() && moved.values().all(|by| *by < 10.0), "{moved:?}");
}

#[test]
fn a_layout_with_nothing_to_put_right_is_left_alone() {
    let plan = with_molds(&bench(), &[Mold { copies: 2, ..block() }]);
    let plan = standing(&plan, &[(1, 1, 150.0, 150.0), (1, 2, 225.0, 150.0)]);
    for intent in [Intent::Tidy, Intent::Fit] {
        assert_eq!(answer(&plan, &request(intent)).expect("makes sense").edit, None);
    }
}

#[test]
fn one_block_is_spread_to_the_middle() {
    let plan = standing(&with_molds(&bench(), &[block()]), &[(1, 1, 80.0, 90.0)]);
    let asked = request(Intent::Spread(Aims::ROOM));
    let edit = answer(&plan, &asked).expect("makes sense").edit.expect("moves");
    let at = plan.apply(&edit).expect("applies").pulls[&PULL].placements[&PlacementId(1)].pose.at;
    assert!(at.distance(Point::new(200.0, 150.0)) < 1.0, "{at:?}");
}

#[test]
fn two_blocks_are_spread_as_far_as_the_closed_form() {
    // Along the width of 370: two blocks of 40, margins of 25 and a gap of 35, each widened by t: 80 + 2 (25 + t) +
    // (35 + t) = 370, so t = 68.33; along the depth of 270 there is 25 + t <= 115, which is wide enough.
    let plan = with_molds(&bench(), &[Mold { copies: 2, ..block() }]);
    let plan = standing(&plan, &[(1, 1, 150.0, 150.0), (1, 2, 225.0, 150.0)]);
    let asked =
        Request { budget: Budget { steps: 400_000 }, ..request(Intent::Spread(Aims::ROOM)) };
    let answer = answer(&plan, &asked).expect("makes sense");
    let Outcome::Spread { after, .. } = answer.outcome else { panic!("{answer:?}") };
    assert!(after.spare > Length::mm(68.0), "{after:?}");
}

/// How two or three blocks, each with its height and place, measure before and after a spread with one aim.
fn spread(aims: Aims, molds: &[(Mold, (f64, f64, f64))]) -> (Measures, Measures) {
    let kinds: Vec<Mold> = molds.iter().map(|(mold, _)| mold.clone()).collect();
    let places: Vec<(u32, u32, f64, f64)> =
        (1..).zip(molds).map(|(n, (_, (x, y, _)))| (n, 1, *x, *y)).collect();
    let plan = standing(&with_molds(&bench(), &kinds), &places);
    let turn = |(n, (_, (x, y, turn))): (u32, &(Mold, (f64, f64, f64)))| {
        (PlacementId(n), Pose::new(Point::new(*x, *y), Angle::degrees(*turn)))
    };
    let turned = Edit::Move(PULL, (1..).zip(molds).map(turn).collect());
    let plan = plan.apply(&turned).expect("turns");
    let asked = Request { budget: Budget { steps: 400_000 }, ..request(Intent::Spread(aims)) };
    let answer = answer(&plan, &asked).expect("makes sense");
    is_good(&plan, answer.edit.as_ref().expect("moves"), &asked).expect("good");
    match answer.outcome {
        Outcome::Spread { before, after } => (before, after),
        other => panic!("{other:?}"),
    }
}

const NO_AIM: Aims = Aims { room: 0.0, tall_inside: 0.0, square: 0.0, faces_apart: 0.0 };

#[test]
fn the_tall_one_comes_to_the_middle() {
    let tall = Mold { height: Length::mm(32.0), ..block() };
    let low = Mold { height: Length::mm(10.0), ..block() };
    let molds = [
        (tall, (80.0, 150.0, 0.0)),
        (low.clone(), (200.0, 150.0, 0.0)),
        (low, (310.0, 150.0, 0.0)),
    ];
    let (before, after) = spread(Aims { tall_inside: 1.0, ..NO_AIM }, &molds);
    assert_near!(before.tall_from_middle.to_mm(), 120.0, 1e-6);
    assert!(after.tall_from_middle < Length::mm(15.0), "{after:?}");
}

#[test]
fn long_walls_come_parallel_to_the_frame() {
    let long = Footprint::Rectangle { width: Length::mm(120.0), depth: Length::mm(30.0) };
    let free = Mold { footprint: long, turns: Turns::Free, ..block() };
    let (before, after) = spread(Aims { square: 1.0, ..NO_AIM }, &[(free, (200.0, 150.0, 33.0))]);
    assert_near!(before.out_of_square.to_degrees(), 33.0, 1e-6);
    assert_near!(after.out_of_square.to_degrees(), 0.0, 1e-3);
}

#[test]
fn long_faces_are_turned_apart() {
    let long = Footprint::Rectangle { width: Length::mm(120.0), depth: Length::mm(30.0) };
    let bar = Mold { footprint: long, ..block() };
    let molds = [(bar.clone(), (200.0, 110.0, 0.0)), (bar, (200.0, 180.0, 0.0))];
    let (before, after) = spread(Aims { faces_apart: 1.0, ..NO_AIM }, &molds);
    assert!(after.facing < before.facing * 0.4, "{before:?} {after:?}");
}

#[test]
fn the_usual_spread_does_all_four() {
    // The tall one at the edge, and two bars askew that look at each other with their long sides.
    let tall = Mold { height: Length::mm(30.0), ..block() };
    let long = Footprint::Rectangle { width: Length::mm(110.0), depth: Length::mm(30.0) };
    let bar =
        Mold { footprint: long, height: Length::mm(10.0), turns: Turns::Free, ..tall.clone() };
    let molds = [
        (tall, (80.0, 220.0, 0.0)),
        (bar.clone(), (260.0, 90.0, 12.0)),
        (bar, (260.0, 145.0, 12.0)),
    ];
    let (before, after) = spread(Aims::default(), &molds);
    assert!(after.spare >= before.spare, "{before:?} {after:?}");
    assert!(after.tall_from_middle < before.tall_from_middle * 0.8, "{before:?} {after:?}");
    let askew = [before, after].map(|measures| measures.out_of_square.to_degrees());
    assert!(askew[1] < askew[0] * 0.5, "{before:?} {after:?}");
    assert!(after.facing < before.facing * 0.8, "{before:?} {after:?}");
}

// Concave molds.

/// A bay 60 mm wide and deep in a mold of 120 x 90, open at the back; about the middle of its bounds.
fn bay() -> Mold {
    let corners = [
        (-60.0, -45.0),
        (60.0, -45.0),
        (60.0, 45.0),
        (30.0, 45.0),
        (30.0, -15.0),
        (-30.0, -15.0),
        (-30.0, 45.0),
        (-60.0, 45.0),
    ];
    let outer = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec());
    let footprint = Footprint::Outline { outer, holes: vec![] };
    Mold { footprint, height: Length::mm(10.0), ..block() }
}

/// A peg of 24 x 24, as high as the bay.
fn peg() -> Mold {
    let side = Length::mm(24.0);
    let footprint = Footprint::Rectangle { width: side, depth: side };
    Mold { name: "Peg".into(), footprint, height: Length::mm(10.0), ..block() }
}

/// A bay and a peg on a blank with this opening; 10 mm are asked between them, 5 to the clamp.
fn bay_and_peg(width: f64, depth: f64) -> Plan {
    let lip = Length::mm(10.0);
    let blank = Size::new(Length::mm(width) + lip * 2.0, Length::mm(depth) + lip * 2.0);
    let mut plan = Plan::new("Bay", Machine::with_lip(blank, lip, Length::mm(100.0)));
    plan.settings.clearance.factor = 1.0;
    plan.settings.clearance.least = Length::ZERO;
    plan.settings.edge.factor = 0.5;
    plan.settings.edge.least = Length::ZERO;
    with_molds(&plan, &[bay(), peg()])
}

#[test]
fn a_peg_nests_in_a_bay_where_their_hulls_could_not_stand_apart() {
    let (width, depth) = (134.0, 104.0);
    let plan = bay_and_peg(width, depth);
    // Hulls that do not overlap lie side by side along the width or along the depth, even without a clearance; and the bay
    // cannot be turned, since it is longer than the opening is deep.
    let margins = 2.0 * 5.0;
    assert!(120.0 + 24.0 + margins > width && 90.0 + 24.0 + margins > depth);
    assert!(120.0 + margins > depth);
    let copies = vec![(MoldId(1), CopyNumber(1)), (MoldId(2), CopyNumber(1))];
    let asked = Request { copies, budget: Budget { steps: 2_000_000 }, ..request(Intent::Fit) };
    let answer = answer(&plan, &asked).expect("makes sense");
    assert!(matches!(answer.outcome, Outcome::Fits { .. }), "{answer:?}");
    let edit = answer.edit.as_ref().expect("places");
    is_good(&plan, edit, &asked).expect("good");
    let after = plan.apply(edit).expect("applies");
    let [bay, peg] = [MoldId(1), MoldId(2)].map(|mold| {
        let mut all = after.pulls[&PULL].placements.values();
        all.find(|placement| placement.mold == mold).expect("stands").pose.at
    });
    assert!((bay.x - peg.x).abs() < 30.0 && (bay.y - peg.y).abs() < 45.0, "{bay:?} {peg:?}");
}

#[test]
fn a_peg_in_the_wall_of_its_bay_moves_by_just_what_is_missing() {
    let plan = bay_and_peg(400.0, 300.0);
    // The left wall of the bay is at 170; the peg begins at 169, and has to begin at 180.
    let plan = standing(&plan, &[(1, 1, 200.0, 150.0), (2, 1, 181.0, 166.0)]);
    let locked = plan.apply(&Edit::Lock(PULL, BTreeSet::from([PlacementId(1)]), true));
    let moved = tidied(&locked.expect("locks"));
    assert_eq!(moved.keys().copied().collect::<Vec<_>>(), [PlacementId(2)]);
    assert_near!(moved[&PlacementId(2)], 11.0, 0.01);
}

#[test]
fn puzzles_cut_from_the_blank_are_laid_out_as_molds_of_a_plan() {
    for (n, seed) in [(4, 1), (4, 2), (5, 1), (6, 1)] {
        let plan = Cut::touching(n, 0.97, Turning::Quarters, seed).plan();
        let copies: Vec<MoldCopy> = plan.molds.keys().map(|&id| (id, CopyNumber(1))).collect();
        assert_eq!(copies.len(), n);
        let budget = Budget { steps: 24_000_000 };
        let asked = Request { copies, budget, seed: Seed(seed), ..request(Intent::Fit) };
        let answer = answer(&plan, &asked).expect("makes sense");
        assert!(matches!(answer.outcome, Outcome::Fits { .. }), "{n}, {seed}: {}", answer.title());
        is_good(&plan, answer.edit.as_ref().expect("places"), &asked).expect("good");
    }
}

// Which fit.

#[test]
fn as_many_go_on_as_trying_every_set_says() {
    // Blocks of three sizes on a small blank; which sets fit is asked of every subset with patience.
    let sizes = [(40.0, 60.0), (70.0, 30.0), (90.0, 80.0), (30.0, 30.0), (110.0, 40.0)];
    let molds = sizes.map(|(width, depth)| {
        let footprint = Footprint::Rectangle { width: Length::mm(width), depth: Length::mm(depth) };
        Mold { footprint, ..block() }
    });
    let blank = Size::new(Length::mm(270.0), Length::mm(200.0));
    let plan = Plan::new("Small", Machine::with_lip(blank, Length::mm(10.0), Length::mm(100.0)));
    let plan = with_molds(&plan, &molds);
    let values = [1.0, 2.5, 3.0, 1.5, 2.0];
    let worth: BTreeMap<MoldId, f64> = (1..).map(MoldId).zip(values).collect();
    let (mut best_count, mut best_value) = (0, 0.0_f64);
    for set in 1..32_u32 {
        let copies: Vec<MoldCopy> = (1..=5)
            .filter(|n| set >> (n - 1) & 1 == 1)
            .map(|n| (MoldId(n), CopyNumber(1)))
            .collect();
        let value: f64 = copies.iter().map(|copy| worth[&copy.0]).sum();
        if copies.len() <= best_count && value <= best_value {
            continue;
        }
        let budget = Budget { steps: 300_000 };
        let asked = Request { copies: copies.clone(), budget, ..request(Intent::Fit) };
        if let Outcome::Fits { .. } = answer(&plan, &asked).expect("makes sense").outcome {
            best_count = best_count.max(copies.len());
            best_value = best_value.max(value);
        }
    }
    assert!((2..5).contains(&best_count), "the case says nothing: {best_count} fit");
    for (worth, expected) in [
        (Worth::ByCount, f64::from(u32::try_from(best_count).expect("few"))),
        (Worth::ByValue(worth), best_value),
    ] {
        let budget = Budget { steps: 3_000_000 };
        let asked = Request { budget, ..request(Intent::Most(worth)) };
        let answer = answer(&plan, &asked).expect("makes sense");
        let Outcome::Most(most) = &answer.outcome else { panic!("{answer:?}") };
        assert_near!(most.worth, expected, 1e-9);
        is_good(&plan, answer.edit.as_ref().expect("places"), &asked).expect("good");
    }
}

#[test]
fn when_not_all_fit_the_ways_out_are_those_of_the_closed_form() {
    // Three blocks of 40 in a strip 40 deep: 3 x 40 + 2 x 25 + 2 gaps in an opening of 230 leaves 30 a gap, and
    // 20 mm of height ask for 35. So all fit at a factor of 1.5, and any two fit as it is.
    let machine = Machine::with_lip(
        Size::new(Length::mm(240.0), Length::mm(104.0)),
        Length::mm(5.0),
        Length::mm(100.0),
    );
    let small = Mold { name: "Clam half".into(), ..block() };
    let tiny = Footprint::Rectangle { width: Length::mm(40.0), depth: Length::mm(39.0) };
    let least = Mold { name: "Starfish".into(), footprint: tiny, turns: Turns::Fixed, ..block() };
    let plan = with_molds(&Plan::new("Strip", machine), &[block(), small, least]);
    let copies: Vec<MoldCopy> = (1..=3).map(|n| (MoldId(n), CopyNumber(1))).collect();
    let asked = Request { copies, budget: Budget { steps: 2_000_000 }, ..request(Intent::Fit) };
    let answer = answer(&plan, &asked).expect("makes sense");
    assert_eq!(answer.edit, None);
    let Outcome::TooFull(full) = &answer.outcome else { panic!("{answer:?}") };
    assert_eq!(full.too_large, []);
    let out = full.leave_out.as_ref().expect("found");
    assert_eq!(out.copies, [(MoldId(3), CopyNumber(1))]);
    let SmallerFactor::Fits { factor, .. } = &full.factor else { panic!("{full:?}") };
    assert_near!(*factor, 1.5, 0.011);
    for edit in edits(&answer) {
        is_good(&plan, edit, &asked).expect("good");
    }
    let words: Vec<String> = answer.ways_out(&plan).into_iter().map(|way| way.words).collect();
    assert!(words.iter().any(|words| words == "Leave out Starfish: the rest fits."), "{words:?}");
}

#[test]
fn a_mold_that_may_not_be_turned_fits_the_blank_turned() {
    let tall = Footprint::Rectangle { width: Length::mm(40.0), depth: Length::mm(250.0) };
    let fixed = Mold { footprint: tall, turns: Turns::Fixed, ..block() };
    let plan = with_molds(&bench(), &[fixed]);
    let copies = vec![(MoldId(1), CopyNumber(1))];
    let asked = Request { copies, ..request(Intent::Fit) };
    let answer = answer(&plan, &asked).expect("makes sense");
    let Outcome::TooFull(full) = &answer.outcome else { panic!("{answer:?}") };
    let TurnedBlank::Fits { edit } = &full.turned_blank else { panic!("{full:?}") };
    let turned = plan.apply(edit).expect("applies");
    assert_eq!(turned.machine.opening().width(), plan.machine.opening().depth());
    is_good(&plan, edit, &asked).expect("good");
}

#[test]
fn a_quarter_turn_of_the_blank_is_looked_at_or_told_why_not() {
    let square = |side: f64, turns| {
        let side = Length::mm(side);
        let footprint = Footprint::Rectangle { width: side, depth: side };
        Mold { footprint, turns, ..block() }
    };
    let turned = |plan: &Plan, copies: &[u32], steps: u64| {
        let copies = copies.iter().map(|&n| (MoldId(n), CopyNumber(1))).collect();
        let asked = Request { copies, budget: Budget { steps }, ..request(Intent::Fit) };
        match answer(plan, &asked).expect("makes sense").outcome {
            Outcome::TooFull(full) => (full.turned_blank, full.factor),
            other => panic!("{other:?}"),
        }
    };
    // 300 mm with margins of 25 fit an opening of 370 x 270 neither way.
    let fixed = with_molds(&bench(), &[square(300.0, Turns::Fixed), block()]);
    assert_eq!(turned(&fixed, &[1], 100_000).0, TurnedBlank::DoesNotHelp);
    let free = with_molds(&bench(), &[square(300.0, Turns::Quarter)]);
    assert_eq!(turned(&free, &[1], 100_000).0, TurnedBlank::NoDifference);
    let locked = standing(&fixed, &[(2, 1, 200.0, 150.0)]);
    let locked = locked.apply(&Edit::Lock(PULL, BTreeSet::from([PlacementId(1)]), true));
    assert_eq!(turned(&locked.expect("locks"), &[1], 100_000).0, TurnedBlank::Held);
    // Two that have room alone and none together, and no time to find out more.
    let two = with_molds(&bench(), &[square(200.0, Turns::Fixed), square(140.0, Turns::Fixed)]);
    assert_eq!(turned(&two, &[1, 2], 1), (TurnedBlank::NotAsked, SmallerFactor::NotAsked));
}

#[test]
fn what_makes_no_sense_is_refused_in_words() {
    let plan = sample();
    let copy = |mold, copy| (MoldId(mold), CopyNumber(copy));
    let fit = |copies: &[MoldCopy]| Request { copies: copies.to_vec(), ..request(Intent::Fit) };
    let aims = Aims { square: f64::NAN, ..Aims::default() };
    let worth = Worth::ByValue(BTreeMap::from([(MoldId(1), -1.0)]));
    let cases = [
        (Request { pull: PullId(9), ..fit(&[]) }, "there is no pull 9 in this plan"),
        (fit(&[copy(9, 1)]), "there is no mold 9 in this plan"),
        (
            fit(&[copy(3, 3)]),
            "there is no copy 3 of Clam half: 2 exist; choose one that does, or say that more exist",
        ),
        (fit(&[copy(1, 1), copy(1, 1)]), "copy 1 of Limpet is chosen twice; choose each copy once"),
        (
            request(Intent::Spread(aims)),
            "a weight of NaN for long walls square cannot be weighed; give it 0 or more",
        ),
        (
            request(Intent::Most(worth)),
            "a value of -1 for Limpet cannot be weighed; give it 0 or more",
        ),
    ];
    for (asked, words) in cases {
        assert_eq!(answer(&plan, &asked).expect_err(words).to_string(), words);
    }
    let empty = answer(&bench(), &request(Intent::Tidy)).expect_err("nothing stands there");
    assert!(empty.to_string().starts_with("there is nothing to lay out"), "{empty}");
}
