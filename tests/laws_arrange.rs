//! Laws of laying out: what must hold of every answer, on random plans from fixed seeds, and known least movements.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;

use engine::arrange::{
    Aims, Answer, ArrangeError, Budget, Intent, Measures, MoldCopy, Outcome, Progress, Request,
    Seed, SmallerFactor, TurnedBlank, Worth, arrange,
};
use engine::edit::Edit;
use engine::geometry::{Point, Pose, Rect, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Sides,
    Size, Turns, sample,
};
use engine::rules::{Rule, Subject, check, nearest};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

mod random_plan;

const PULL: PullId = PullId(1);
/// Steps of a search on random plans; enough for what fits easily.
const STEPS: u64 = 60_000;

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_261),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn request(intent: Intent) -> Request {
    let (seed, budget) = (Seed(7), Budget { steps: STEPS });
    Request { pull: PULL, copies: Vec::new(), intent, seed, budget }
}

fn answer(plan: &Plan, request: &Request) -> Result<Answer, ArrangeError> {
    arrange(plan, request, &mut ())
}

proptest! {
    #![proptest_config(config(60))]

    #[test]
    fn no_answer_has_a_finding_that_it_claims_to_avoid(plan in plans(), intent in intents()) {
        let asked = request(intent);
        if let Ok(answer) = answer(&plan, &asked) {
            for edit in edits(&answer) {
                is_good(&plan, edit, &asked)?;
            }
            for words in said(&answer, &plan) {
                prop_assert!(!words.is_empty() && !words.contains("NaN") && !words.contains("inf"), "{}", words);
            }
        }
    }

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
            for edit in edits(&answer) {
                is_good(&plan, edit, &asked)?;
            }
            for words in said(&answer, &plan) {
                prop_assert!(!words.is_empty() && !words.contains("NaN") && !words.contains("inf"), "{}", words);
            }
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
    fn moving_the_opening_moves_the_answer(plan in plans(), by in (0.0..40.0, 0.0..40.0)) {
        let by = Vec2::new(by.0, by.1);
        let asked = request(Intent::Tidy);
        let moved = with_everything_moved(&plan, by);
        let (one, other) = (answer(&plan, &asked), answer(&moved, &asked));
        if let (Ok(one), Ok(other)) = (one, other)
            && let (Outcome::Tidied { moved: a }, Outcome::Tidied { moved: b }) = (&one.outcome, &other.outcome)
        {
            let sum = |moved: &[(PlacementId, Length)]| moved.iter().map(|(_, by)| by.to_mm()).sum::<f64>();
            prop_assert!((sum(a) - sum(b)).abs() < 0.1 + 0.01 * sum(a), "{:?} {:?}", a, b);
        }
    }
}

// Judging.

/// Every layout that an answer offers.
fn edits(answer: &Answer) -> Vec<&Edit> {
    let mut edits: Vec<&Edit> = answer.edit.iter().collect();
    if let Outcome::TooFull(full) = &answer.outcome {
        edits.extend(full.leave_out.as_ref().map(|out| &out.edit));
        if let SmallerFactor::Fits { edit, .. } = &full.factor {
            edits.push(edit);
        }
        if let TurnedBlank::Fits { edit } = &full.turned_blank {
            edits.push(edit);
        }
    }
    edits
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

/// The edit applies; what is locked stays; turns are allowed or a person's; copies exist; and the rules find nothing
/// among what was laid out.
fn is_good(plan: &Plan, edit: &Edit, asked: &Request) -> Result<(), TestCaseError> {
    let after = plan.apply(edit).expect("an answer applies");
    let (was, is) = (&plan.pulls[&asked.pull].placements, &after.pulls[&asked.pull].placements);
    for (id, old) in was {
        if old.locked {
            prop_assert_eq!(is.get(id), Some(old));
        }
    }
    let mut answers_for = BTreeSet::new();
    for (id, new) in is {
        let old = was.get(id);
        let mold = &after.molds[&new.mold];
        if old.is_none_or(|old| old.pose.turn != new.pose.turn) {
            prop_assert!(is_allowed(mold.turns, new.pose.turn), "{:?} {:?}", mold.turns, new.pose);
        }
        if old.is_none() {
            prop_assert!(new.copy.0 <= mold.copies);
            prop_assert!(
                is.values().filter(|p| (p.mold, p.copy) == (new.mold, new.copy)).count() == 1
            );
        }
        // Of copies that do not exist, or stand twice, as many as go on chooses none: they stay where they stand.
        let is_same = |p: &&Placement| (p.mold, p.copy) == (new.mold, new.copy);
        let is_odd = new.copy.0 > mold.copies || was.values().filter(is_same).count() > 1;
        let is_left = is_odd && old == Some(new) && matches!(asked.intent, Intent::Most(_));
        if !new.locked && !is_left {
            answers_for.insert(*id);
        }
    }
    for finding in check(&after, asked.pull) {
        let is_of_places = matches!(
            finding.rule,
            Rule::Overlap | Rule::Clearance | Rule::Opening | Rule::Platen | Rule::Edge
        );
        let is_ours = finding.subjects.iter().any(|subject| match subject {
            Subject::Placement(id) => answers_for.contains(id),
            Subject::Mold(_) | Subject::Stock => false,
        });
        prop_assert!(!(is_of_places && is_ours), "{:?}\n{:?}", finding, is);
    }
    Ok(())
}

fn is_allowed(turns: Turns, turn: Angle) -> bool {
    let degrees = turn.to_degrees();
    match turns {
        Turns::Free => true,
        Turns::Quarter => (degrees / 90.0 - (degrees / 90.0).round()).abs() < 1e-9,
        Turns::Fixed => degrees.abs() < 1e-9,
    }
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

// Known answers.

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

fn with_molds(plan: &Plan, molds: &[Mold]) -> Plan {
    let add = |(id, mold): (MoldId, &Mold)| Edit::AddMold(id, Box::new(mold.clone()));
    let edits = (1..).map(MoldId).zip(molds).map(add).collect();
    plan.apply(&Edit::All(edits)).expect("adds")
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
    (footprints(), 5.0..30.0, turns, 1..3_u32).prop_map(|(footprint, height, turns, copies)| Mold {
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
