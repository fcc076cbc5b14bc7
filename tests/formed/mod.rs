//! Small pulls to forecast: blocks and bars on a blank, and their forecasts on coarse nets.

use std::collections::BTreeMap;

use engine::drape::{Forecast, Mode, Settings, forecast};
use engine::edit::Edit;
use engine::geometry::{Point, Pose};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size,
};
use engine::units::{Angle, Length};

/// The pull that everything stands in.
pub(crate) const PULL: PullId = PullId(1);

/// A block with upright walls.
pub(crate) fn block(width: f64, depth: f64, height: f64) -> Mold {
    let footprint = Footprint::Rectangle { width: Length::mm(width), depth: Length::mm(depth) };
    Mold { draft: Angle::ZERO, ..Mold::new("Clam half", footprint, Length::mm(height)) }
}

/// An opening of this size over a platen as large, HIPS of 1 mm, and molds at x, y and a turn in degrees.
pub(crate) fn standing(width: f64, depth: f64, molds: &[(Mold, (f64, f64, f64))]) -> Plan {
    let lip = 10.0;
    let blank = Size::new(Length::mm(width + 2.0 * lip), Length::mm(depth + 2.0 * lip));
    let machine = Machine::with_lip(blank, Length::mm(lip), Length::mm(300.0));
    let mut plan = Plan::new("Formed", machine);
    plan.stock.gauge = Length::mm(1.0);
    let mut placements = BTreeMap::new();
    for (n, (mold, (x, y, turn))) in (1..).zip(molds) {
        plan = plan.apply(&Edit::AddMold(MoldId(n), Box::new(mold.clone()))).expect("adds");
        let pose = Pose::new(Point::new(lip + x, lip + y), Angle::degrees(*turn));
        let placement = Placement { mold: MoldId(n), copy: CopyNumber(1), pose, locked: false };
        placements.insert(PlacementId(n), placement);
    }
    plan.apply(&Edit::Place(PULL, placements)).expect("places")
}

/// The forecast on a net of this width.
pub(crate) fn formed(plan: &Plan, mode: Mode, mesh: f64) -> Forecast {
    let settings = Settings { mode, mesh: Length::mm(mesh), ..Settings::default() };
    forecast(plan, PULL, &settings, &mut ()).expect("a forecast")
}
