//! Plans for what must be quick: many lobed outlines in rows, and a bench as it is usually full.

#![allow(dead_code, reason = "each test that shares this file needs a part of it")]

use std::sync::Arc;

use engine::edit::Edit;
use engine::geometry::{Point, Pose, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size,
    Turns, sample,
};
use engine::units::{Angle, Length};

/// A blank with `molds` lobed outlines of `corners` corners in rows, close enough to break rules.
pub(crate) fn crowded(molds: u32, corners: u32) -> Plan {
    let mut plan = sample();
    let off = Edit::TakeOff(PullId(1), (1..=6).map(PlacementId).collect());
    let mut edits = vec![off];
    for n in 0..molds {
        let id = MoldId(100 + n);
        let lobes = f64::from(3 + n % 5);
        let corner = |i: u32| {
            let turn = Angle::degrees(360.0 * f64::from(i) / f64::from(corners));
            let reach = 22.0 + 5.0 * Angle::radians(turn.to_radians() * lobes).cos();
            Point::ORIGIN + Vec2::unit(turn) * reach
        };
        let outer = Ring::new((0..corners).map(corner).collect());
        let footprint = Footprint::Outline { outer, holes: Vec::new() };
        let height = Length::mm(10.0 + f64::from(n % 7) * 3.0);
        edits
            .push(Edit::AddMold(id, Box::new(Mold::new(&format!("Shell {n}"), footprint, height))));
        let at = Point::new(50.0 + f64::from(n % 8) * 47.0, 40.0 + f64::from(n / 8) * 55.0);
        let pose = Pose::new(at, Angle::degrees(f64::from(n) * 17.0));
        let placement = Placement { mold: id, copy: CopyNumber(1), pose, locked: false };
        edits.push(Edit::Place(PullId(1), [(PlacementId(100 + n), placement)].into()));
    }
    plan = plan.apply(&Edit::All(edits)).expect("a legal plan");
    plan
}

/// Eight molds of 60 corners and 8 to 22 mm of height on a blank of 440 x 330 mm, none of them standing yet; grown by
/// half their clearances their hulls cover 60 % of the opening. The arranger's own benchmark lays out the same.
pub(crate) fn bench() -> Plan {
    let blank = Size::new(Length::mm(440.0), Length::mm(330.0));
    let machine = Machine::with_lip(blank, Length::mm(15.0), Length::mm(150.0));
    let mut plan = Plan::new("Bench", machine);
    plan.molds = (0..8).map(|n| (MoldId(n + 1), Arc::new(bench_mold(n)))).collect();
    plan
}

fn bench_mold(n: u32) -> Mold {
    let corner = |corner: u32| {
        let turn = Angle::degrees(f64::from(corner) * 6.0);
        let lobes = Angle::radians(turn.to_radians() * f64::from(2 + n % 4));
        let reach = 34.0 + 8.0 * lobes.cos() + f64::from(n % 3) * 4.0;
        Point::ORIGIN + Vec2::new(turn.cos() * reach * 1.15, turn.sin() * reach * 0.9)
    };
    let outer = Ring::new((0..60).map(corner).collect());
    let footprint = Footprint::Outline { outer, holes: Vec::new() };
    let turns = [Turns::Free, Turns::Quarter, Turns::Free, Turns::Fixed][(n % 4) as usize];
    let height = Length::mm(8.0 + 2.0 * f64::from(n));
    Mold { turns, ..Mold::new(&format!("Shell {n}"), footprint, height) }
}
