//! How long laying out takes: the first good layout of a bench, a spread, a tidying, and as many as go on.

use std::ops::ControlFlow;
use std::sync::Arc;

use divan::{Bencher, black_box};
use engine::arrange::{
    Aims, Answer, Budget, Intent, MoldCopy, Outcome, Progress, Request, Seed, Worth, arrange,
};
use engine::geometry::{Point, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Plan, PullId, Size, Turns, sample,
};
use engine::units::{Angle, Length};

/// Corners of each outline.
const N_CORNERS: u32 = 60;
/// Molds of the layout.
const N_MOLDS: u32 = 8;

fn main() {
    divan::main();
}

/// Eight molds of 60 corners and 8 to 22 mm of height for a blank of 440 x 330 mm; grown by half their clearances,
/// their hulls cover 60 % of the opening.
fn bench() -> Plan {
    let blank = Size::new(Length::mm(440.0), Length::mm(330.0));
    let machine = Machine::with_lip(blank, Length::mm(15.0), Length::mm(150.0));
    let mut plan = Plan::new("Bench", machine);
    plan.molds = (0..N_MOLDS).map(|n| (MoldId(n + 1), Arc::new(mold(n)))).collect();
    plan
}

fn mold(n: u32) -> Mold {
    let outer = (0..N_CORNERS).map(|corner| {
        let turn = Angle::degrees(f64::from(corner) * 360.0 / f64::from(N_CORNERS));
        let lobes = Angle::radians(turn.to_radians() * f64::from(2 + n % 4));
        let reach = 34.0 + 8.0 * lobes.cos() + f64::from(n % 3) * 4.0;
        Point::ORIGIN + Vec2::new(turn.cos() * reach * 1.15, turn.sin() * reach * 0.9)
    });
    let footprint = Footprint::Outline { outer: Ring::new(outer.collect()), holes: vec![] };
    let turns = [Turns::Free, Turns::Quarter, Turns::Free, Turns::Fixed][n as usize % 4];
    let height = Length::mm(8.0 + 2.0 * f64::from(n));
    Mold { turns, ..Mold::new("Starfish", footprint, height) }
}

fn all_of(plan: &Plan) -> Vec<MoldCopy> {
    plan.molds.keys().map(|&id| (id, CopyNumber(1))).collect()
}

fn asked(plan: &Plan, intent: Intent, seed: u64) -> Answer {
    let request = Request {
        pull: PullId(1),
        copies: all_of(plan),
        intent,
        seed: Seed(seed),
        budget: Budget { steps: 2_000_000 },
    };
    arrange(plan, &request, &mut |_: &Progress<'_>| ControlFlow::Continue(())).expect("makes sense")
}

/// From an empty blank to the first layout that the rules have nothing against.
#[divan::bench(args = [1, 2, 3, 4, 5], sample_count = 10, sample_size = 1)]
fn first_layout(bencher: Bencher<'_, '_>, seed: u64) {
    let plan = bench();
    bencher.bench_local(|| {
        let answer = asked(black_box(&plan), Intent::Fit, seed);
        assert!(matches!(answer.outcome, Outcome::Fits { .. }), "{:?}", answer.outcome);
        answer
    });
}

/// From an empty blank to a spread layout.
#[divan::bench(args = [1, 2, 3], sample_count = 5, sample_size = 1)]
fn spread(bencher: Bencher<'_, '_>, seed: u64) {
    let plan = bench();
    bencher.bench_local(|| {
        let answer = asked(black_box(&plan), Intent::Spread(Aims::default()), seed);
        assert!(matches!(answer.outcome, Outcome::Spread { .. }), "{:?}", answer.outcome);
        answer
    });
}

#[divan::bench]
fn tidy_the_sample(bencher: Bencher<'_, '_>) {
    let plan = sample();
    let request = Request {
        pull: PullId(1),
        copies: Vec::new(),
        intent: Intent::Tidy,
        seed: Seed(1),
        budget: Budget { steps: 2_000_000 },
    };
    bencher.bench_local(|| arrange(black_box(&plan), &request, &mut ()));
}

/// Twice as many molds as the blank holds.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn as_many_as_go_on(bencher: Bencher<'_, '_>) {
    let mut plan = bench();
    let more = (N_MOLDS..2 * N_MOLDS).map(|n| (MoldId(n + 1), Arc::new(mold(n))));
    plan.molds.extend(more);
    bencher.bench_local(|| asked(black_box(&plan), Intent::Most(Worth::ByCount), 1));
}
