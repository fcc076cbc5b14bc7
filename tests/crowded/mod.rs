//! Crowded blanks: many lobed outlines in rows, for what must be quick.

use engine::edit::Edit;
use engine::geometry::{Point, Pose, Ring, Vec2};
use engine::plan::{
    CopyNumber, Footprint, Mold, MoldId, Placement, PlacementId, Plan, PullId, sample,
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
