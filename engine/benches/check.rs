//! How long a full check of a pull takes: what a drag has to afford for every frame.

use std::collections::BTreeMap;
use std::sync::Arc;

use divan::{Bencher, black_box};
use engine::geometry::{Point, Pose, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Relief,
    Size, sample,
};
use engine::rules::{ReadyMolds, check, check_with, nearest_with};
use engine::units::{Angle, Length};

/// Corners of each outline.
const N_CORNERS: u32 = 100;
/// Millimetres from mold to mold: closer than the clearance along a row, so that every pair is measured.
const APART_MM: f64 = 82.0;

fn main() {
    divan::main();
}

/// Molds of 100 corners in rows of eight, each a different one, flat and drafted, domed or tapered by turns.
fn layout(n_molds: u32) -> Plan {
    let n_rows = n_molds.div_ceil(8);
    let size = |n: u32| Length::mm(APART_MM * f64::from(n + 1));
    let mut plan = Plan::new(
        "Bench",
        Machine::with_lip(Size::new(size(8), size(n_rows)), Length::mm(15.0), Length::mm(150.0)),
    );
    let mut placements = BTreeMap::new();
    for n in 0..n_molds {
        plan.molds.insert(MoldId(n), Arc::new(mold(n)));
        let (column, row) = (f64::from(n % 8 + 1), f64::from(n / 8 + 1));
        let at = Point::new(column * APART_MM, row * APART_MM);
        let pose = Pose::new(at, Angle::degrees(f64::from(n) * 17.0));
        let placement = Placement { mold: MoldId(n), copy: CopyNumber(1), pose, locked: false };
        placements.insert(PlacementId(n), placement);
    }
    for pull in plan.pulls.values_mut() {
        Arc::make_mut(pull).placements = placements.clone();
    }
    plan
}

fn mold(n: u32) -> Mold {
    let outer = (0..N_CORNERS).map(|corner| {
        let turn = Angle::degrees(f64::from(corner) * 360.0 / f64::from(N_CORNERS));
        let lobes = Angle::radians(turn.to_radians() * f64::from(3 + n % 4));
        Point::ORIGIN + Vec2::unit(turn) * (26.0 + 4.0 * lobes.cos() + f64::from(n % 3))
    });
    let relief = match n % 3 {
        0 => Relief::FLAT,
        1 => Relief::Dome,
        _ => Relief::Taper { top: 0.6 },
    };
    let footprint = Footprint::Outline { outer: Ring::new(outer.collect()), holes: vec![] };
    Mold { relief, ..Mold::new("Starfish", footprint, Length::mm(20.0 + f64::from(n % 5))) }
}

#[divan::bench(args = [12, 40])]
fn check_of_outlines(bencher: Bencher<'_, '_>, n_molds: u32) {
    let plan = layout(n_molds);
    bencher.bench(|| check(black_box(&plan), PullId(1)));
}

#[divan::bench]
fn check_of_the_sample(bencher: Bencher<'_, '_>) {
    let plan = sample();
    bencher.bench(|| check(black_box(&plan), PullId(1)));
}

/// What a drag pays: the molds are known, only their places are new.
#[divan::bench(args = [12, 40])]
fn check_of_known_outlines(bencher: Bencher<'_, '_>, n_molds: u32) {
    let plan = layout(n_molds);
    let ready = ReadyMolds::default().renewed(&plan);
    bencher.bench(|| check_with(black_box(&plan), PullId(1), &ready));
}

#[divan::bench(args = [12, 40])]
fn nearest_of_known_outlines(bencher: Bencher<'_, '_>, n_molds: u32) {
    let plan = layout(n_molds);
    let ready = ReadyMolds::default().renewed(&plan);
    bencher.bench(|| nearest_with(black_box(&plan), PullId(1), PlacementId(9), &ready));
}
