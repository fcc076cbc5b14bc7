//! What holds of every placement search: solved means solved by the exact geometry, and the seed decides.
//!
//! The puzzles are blanks cut into concave pieces, so that an answer is known to exist; the loose problems are drawn
//! at random, and some of them have none.

use std::ops::ControlFlow;
use std::sync::Arc;

use engine::geometry::{
    Point, Pose, Rect, Region, Ring, Shape, Vec2, extent, gap, is_overlapping, tolerance,
};
use engine::plan::{HeightBasis, MoldId};
use engine::rules::clearance;
use engine::search::{
    Apart, Budget, Item, Placed, Problem, Progress, Seed, Turns, place, shortfall,
};
use engine::units::{Angle, Length};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use puzzle::{Cut, Turning, puzzle, puzzle_with_clearance};

#[allow(dead_code, reason = "shared with the benchmarks, and nobody needs all of it")]
#[path = "../engine/benches/puzzle/mod.rs"]
mod puzzle;

/// Room for the sums of millimetres that the search and this test round differently.
const ROUNDING: f64 = 1e-9;

/// Says whatever of a layout breaks the problem, from the exact geometry alone.
fn faults(problem: &Problem, poses: &[Pose]) -> Vec<String> {
    let mut found = Vec::new();
    let same = tolerance::SAME.to_mm() + ROUNDING;
    for (i, (item, &pose)) in problem.items.iter().zip(poses).enumerate() {
        for (j, (other, &to)) in problem.items.iter().zip(poses).enumerate().take(i) {
            if item.pinned.is_some() && other.pinned.is_some() {
                continue;
            }
            let apart = gap(&item.shape, pose, &other.shape, to).distance;
            if apart.to_mm() < problem.apart.of(i, j).to_mm() - same {
                found.push(format!("{i} and {j} are {apart:?} apart"));
            }
            if is_overlapping(&item.shape, pose, &other.shape, to) {
                found.push(format!("{i} and {j} overlap"));
            }
        }
        if item.pinned.is_none() {
            let (reach, room) = (extent(&item.shape, pose), item.room.grown(Length::mm(same)));
            if !(room.contains(reach.min) && room.contains(reach.max)) {
                found.push(format!("{i} reaches out of its room"));
            }
        }
    }
    found
}

/// What must hold of an answer whether it is solved or not.
fn assert_lawful(problem: &Problem, placed: &Placed) {
    let faults = faults(problem, &placed.poses);
    assert_eq!(placed.shortfall <= 0.0, faults.is_empty(), "{}: {faults:?}", placed.shortfall);
    assert_eq!(placed.poses.len(), problem.items.len());
    for (item, pose) in problem.items.iter().zip(&placed.poses) {
        assert!(pose.is_finite());
        match (&item.turns, item.pinned) {
            (_, Some(pinned)) => assert_eq!(*pose, pinned),
            (Turns::Of(turns), None) => assert!(turns.contains(&pose.turn), "{:?}", pose.turn),
            (Turns::Free, None) => {}
        }
    }
}

#[test]
fn puzzles_of_four_to_ten_pieces_are_solved_by_quarter_turns() {
    // Of ten pieces those seeds that need few steps; the benchmark has them all.
    for (n, seed) in [(4, 1), (4, 2), (4, 3), (5, 1), (5, 2), (6, 1), (6, 4), (10, 3), (10, 4)] {
        let problem = puzzle(n, 0.97, Turning::Quarters, seed);
        assert_eq!(problem.items.len(), n);
        let placed = place(&problem, None, Seed(seed), Budget { steps: 12_000_000 }, &mut ());
        assert_lawful(&problem, &placed);
        assert!(placed.shortfall <= 0.0, "{n} pieces, seed {seed}: {}", placed.shortfall);
    }
}

#[test]
fn a_puzzle_is_solved_with_free_turns_and_one_with_clearances_of_mixed_heights() {
    for problem in [
        puzzle(4, 0.97, Turning::Free, 2),
        puzzle_with_clearance(4, (24.0, HeightBasis::Mean), Turning::Quarters, 1),
        puzzle_with_clearance(5, (24.0, HeightBasis::Mean), Turning::Quarters, 2),
        puzzle_with_clearance(4, (24.0, HeightBasis::Taller), Turning::Quarters, 1),
    ] {
        let placed = place(&problem, None, Seed(1), Budget { steps: 12_000_000 }, &mut ());
        assert_lawful(&problem, &placed);
        assert!(placed.shortfall <= 0.0, "{}", placed.shortfall);
    }
}

/// Holes are drawn in with curves made flat, so the sum over all pairs and edges is not quite nothing.
#[test]
fn the_known_layout_of_a_puzzle_keeps_every_clearance_and_margin_its_plan_asks() {
    for (n, seed) in [(6, 1), (6, 2), (10, 1), (10, 2)] {
        for basis in [HeightBasis::Mean, HeightBasis::Taller] {
            let cut = Cut::with_clearance(n, (24.0, basis), Turning::Quarters, seed);
            let (problem, plan) = (cut.problem(), cut.plan());
            let lacking = shortfall(&problem, cut.known());
            assert!(lacking < 0.1, "{n} pieces, seed {seed}, {basis:?}: {lacking} mm");
            for (i, j) in (0..n).flat_map(|i| (0..i).map(move |j| (i, j))) {
                let [a, b] = [i, j].map(|k| MoldId(u32::try_from(k).expect("few") + 1));
                assert_eq!(Some(problem.apart.of(i, j)), clearance(&plan, a, b));
            }
        }
        let cut = Cut::touching(n, 0.97, Turning::Quarters, seed);
        let problem = Problem { apart: Apart::touching(n), ..cut.problem() };
        assert!(shortfall(&problem, cut.known()) < 1e-5);
    }
}

/// Concave pieces fill 97 % of the blank, so neither their hulls nor their bounds could be laid out without overlap.
#[test]
fn the_pieces_of_a_puzzle_are_concave_and_their_hulls_would_not_fit() {
    for seed in 1..=5 {
        let problem = puzzle(6, 0.97, Turning::Quarters, seed);
        let blank = puzzle::WIDTH * puzzle::DEPTH;
        let area = |item: &Item| item.shape.area().to_mm2();
        let hull = |item: &Item| Ring::new(item.shape.hull().to_vec()).signed_area();
        let (area, hulls): (f64, f64) =
            (problem.items.iter().map(area).sum(), problem.items.iter().map(hull).sum());
        assert!((area / blank - 0.97).abs() < 1e-9, "{}", area / blank);
        assert!(hulls > 1.05 * blank, "seed {seed}: {}", hulls / blank);
    }
}

/// An outline drawn round the origin, concave as a rule, here and there with a hole.
fn outline() -> impl Strategy<Value = Shape> {
    let radii = proptest::collection::vec(12.0..45.0_f64, 5..12);
    (radii, any::<bool>()).prop_map(|(radii, has_hole)| {
        let step = 360.0 / f64::from(u32::try_from(radii.len()).expect("few"));
        let corner = |(k, radius): (u32, &f64)| {
            Point::ORIGIN + Vec2::unit(Angle::degrees(f64::from(k) * step)) * *radius
        };
        let ring = Ring::new((0..).zip(&radii).map(corner).collect());
        let least = radii.iter().copied().fold(f64::INFINITY, f64::min);
        let side = Length::mm(least * 0.5);
        let hole = engine::geometry::flatten::rectangle(side, side);
        Shape::new(Region::new(ring, if has_hole { vec![hole] } else { vec![] }))
    })
}

/// A problem of a few outlines in rooms of their own, some pinned, with a distance for every pair.
fn problem() -> impl Strategy<Value = Problem> {
    let turns = prop_oneof![
        Just(Turns::Free),
        Just(Turns::quarters()),
        Just(Turns::Of(vec![Angle::degrees(17.0)])),
    ];
    let item =
        (outline(), turns, 0.0..40.0_f64, 0..8_u32).prop_map(|(shape, turns, inset, pin)| {
            let room = Rect::sized(Point::ORIGIN, Length::mm(340.0), Length::mm(240.0));
            let pose = Pose::new(Point::new(170.0, 5.0 * inset), Angle::degrees(inset));
            Item {
                shape: Arc::new(shape),
                turns,
                room: room.grown(Length::mm(-inset)),
                pinned: (pin == 0).then_some(pose),
            }
        });
    (proptest::collection::vec(item, 1..6), proptest::collection::vec(0.0..20.0_f64, 6)).prop_map(
        |(items, heights)| {
            let taller = |i: usize, j: usize| Length::mm(heights[i].max(heights[j]));
            Problem { apart: Apart::new(items.len(), taller), items }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, rng_seed: RngSeed::Fixed(20_262), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_called_solved_is_solved_and_the_seed_decides(problem in problem(), seed in 0..1000_u64) {
        let budget = Budget { steps: 60_000 };
        let placed = place(&problem, None, Seed(seed), budget, &mut ());
        assert_lawful(&problem, &placed);
        prop_assert!((placed.shortfall - shortfall(&problem, &placed.poses)).abs() < ROUNDING);
        let again = place(&problem, None, Seed(seed), budget, &mut ());
        prop_assert_eq!(&placed, &again);
        // From its own answer the search has nothing to do, or goes on from what it has.
        let on = place(&problem, Some(&placed.poses), Seed(seed + 1), budget, &mut ());
        assert_lawful(&problem, &on);
        if placed.shortfall <= 0.0 {
            prop_assert_eq!(&on.poses, &placed.poses);
        }
    }

    #[test]
    fn a_search_that_is_stopped_keeps_the_best_it_told_of(problem in problem(), n_news in 1..6_u32) {
        let (mut n_told, mut last) = (0, None);
        let mut watch = |news: &Progress<'_>| {
            n_told += 1;
            last = Some(news.best.to_vec());
            if n_told < n_news { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        };
        let placed = place(&problem, None, Seed(1), Budget { steps: 60_000 }, &mut watch);
        assert_lawful(&problem, &placed);
        prop_assert!(n_told <= n_news);
        if n_told == n_news && placed.shortfall > 0.0 {
            prop_assert_eq!(Some(placed.poses), last);
        }
    }
}
