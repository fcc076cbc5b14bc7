//! How long a batch of kits takes to plan.

use std::sync::Arc;

use divan::{Bencher, black_box};
use engine::batch::{Budget, Seed, plan_batch};
use engine::geometry::{Point, Ring, Vec2};
use engine::plan::{
    Batch, Footprint, Machine, Mold, MoldId, PartWanted, Plan, Size, Turns, sample,
};
use engine::units::{Angle, Length};

/// Steps of one plan.
const STEPS: u64 = 6_000_000;

fn main() {
    divan::main();
}

/// Six molds of 60 corners, of which about half share a blank of 440 x 330 mm, one or two copies each; 40 kits.
fn six_parts() -> Plan {
    let blank = Size::new(Length::mm(440.0), Length::mm(330.0));
    let mut plan =
        Plan::new("Bench", Machine::with_lip(blank, Length::mm(15.0), Length::mm(150.0)));
    plan.molds = (0..6).map(|n| (MoldId(n + 1), Arc::new(mold(n)))).collect();
    let part = |n: u32| PartWanted { per_kit: 1 + n % 3, stock: None };
    let wanted = (0..6).map(|n| (MoldId(n + 1), part(n))).collect();
    plan.batch = Arc::new(Batch { kits: 40, spares_percent: 5, wanted, ..Batch::default() });
    plan
}

fn mold(n: u32) -> Mold {
    let outer = (0..60_u32).map(|corner| {
        let turn = Angle::degrees(f64::from(corner) * 6.0);
        let lobes = Angle::radians(turn.to_radians() * f64::from(2 + n % 4));
        let reach = 42.0 + 8.0 * lobes.cos() + f64::from(n % 3) * 6.0;
        Point::ORIGIN + Vec2::new(turn.cos() * reach * 1.15, turn.sin() * reach * 0.9)
    });
    let footprint = Footprint::Outline { outer: Ring::new(outer.collect()), holes: vec![] };
    let turns = [Turns::Free, Turns::Quarter, Turns::Fixed][n as usize % 3];
    let height = Length::mm(14.0 + 3.0 * f64::from(n));
    Mold { turns, copies: 1 + n % 2, ..Mold::new("Starfish", footprint, height) }
}

#[divan::bench(args = [1, 2, 3], sample_count = 2, sample_size = 1)]
fn six_parts_forty_kits(bencher: Bencher<'_, '_>, seed: u64) {
    let plan = six_parts();
    bencher.bench_local(|| {
        plan_batch(black_box(&plan), (Seed(seed), Budget { steps: STEPS }), &mut ())
    });
}

#[divan::bench(sample_count = 2, sample_size = 1)]
fn twenty_sample_kits(bencher: Bencher<'_, '_>) {
    let mut plan = sample();
    let part = |copies: u32| PartWanted { per_kit: copies, stock: None };
    let wanted = plan.molds.iter().map(|(&id, mold)| (id, part(mold.copies))).collect();
    plan.batch = Arc::new(Batch { kits: 20, wanted, ..Batch::default() });
    bencher
        .bench_local(|| plan_batch(black_box(&plan), (Seed(1), Budget { steps: STEPS }), &mut ()));
}
