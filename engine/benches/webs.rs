//! The web index of two blocks by height and spacing, as the table in DEVELOPERS.md: `--bench webs -- 4` for a net of 4 mm.

#![expect(clippy::print_stdout, reason = "the table is what it is run for")]

use std::collections::BTreeMap;

use engine::drape::{Forecast, Settings, forecast};
use engine::edit::Edit;
use engine::geometry::{Point, Pose};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, PullId, Size,
};
use engine::units::{Angle, Length};

/// Blocks of this width and depth, so far from the clamp.
const BLOCK: f64 = 60.0;
const MARGIN: f64 = 80.0;

fn main() {
    let mesh = std::env::args().filter_map(|word| word.parse().ok()).next().unwrap_or(4.0);
    let spacings = [0.5, 1.0, 1.5, 1.75, 2.0, 3.0];
    println!("| height, mm | {} |", spacings.map(|s| format!("{s} x")).join(" | "));
    println!("| --- |{}", " --- |".repeat(spacings.len()));
    for height in [20.0, 30.0, 40.0, 50.0] {
        let cells = spacings.map(|spacing| {
            let told = two_blocks(height, height * spacing, mesh);
            format!("{:.2}, {:.0} %", told.web_index, told.thinnest.ratio * 100.0)
        });
        println!("| {height} | {} |", cells.join(" | "));
    }
}

fn two_blocks(height: f64, apart: f64, mesh: f64) -> Forecast {
    let lip = 10.0;
    let depth = BLOCK + 2.0 * (MARGIN + lip);
    let blank = Size::new(Length::mm(depth + BLOCK + apart), Length::mm(depth));
    let mut plan =
        Plan::new("Two blocks", Machine::with_lip(blank, Length::mm(lip), Length::mm(300.0)));
    let footprint = Footprint::Rectangle { width: Length::mm(BLOCK), depth: Length::mm(BLOCK) };
    let mold = Mold { copies: 2, ..Mold::new("Block", footprint, Length::mm(height)) };
    let middle = plan.machine.opening().center();
    let aside = f64::midpoint(BLOCK, apart);
    let placements = [(1, -aside), (2, aside)].map(|(n, x)| {
        let pose = Pose::new(Point::new(middle.x + x, middle.y), Angle::ZERO);
        let copy = CopyNumber(n);
        (PlacementId(n), Placement { mold: MoldId(1), copy, pose, locked: false })
    });
    let edits = Edit::All(vec![
        Edit::AddMold(MoldId(1), Box::new(mold)),
        Edit::Place(PullId(1), BTreeMap::from(placements)),
    ]);
    plan = plan.apply(&edits).expect("two blocks stand");
    let settings = Settings { mesh: Length::mm(mesh), ..Settings::default() };
    forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast")
}
