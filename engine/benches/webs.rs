//! The web index of two blocks by height and spacing, as table and plot in DEVELOPERS.md: `--bench webs -- 4` for a net of 4 mm.

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

/// Spacings over heights, and what the trade says of each (from memory).
const SPACINGS: [(f64, [&str; 2]); 6] = [
    (0.5, ["", ""]),
    (1.0, ["shop", "minimum"]),
    (1.5, ["", ""]),
    (1.75, ["older", "guides"]),
    (2.0, ["safe", ""]),
    (3.0, ["steep walls,", "hot sheet"]),
];
/// From this index on a web is likely, as `drape/spans.rs` has it.
const LIKELY: f64 = 0.15;
/// Columns of the plot to a spacing of one height.
const COLUMNS: f64 = 16.0;

fn main() {
    let mesh = std::env::args().filter_map(|word| word.parse().ok()).next().unwrap_or(4.0);
    let spacings = SPACINGS.map(|(spacing, _)| spacing);
    let mut means = [0.0; SPACINGS.len()];
    println!("| height, mm | {} |", spacings.map(|s| format!("{s} x")).join(" | "));
    println!("| --- |{}", " --- |".repeat(spacings.len()));
    for height in [20.0, 30.0, 40.0, 50.0] {
        let cells = spacings.map(|spacing| {
            let told = two_blocks(height, height * spacing, mesh);
            if let Some(nth) = spacings.iter().position(|other| other.total_cmp(&spacing).is_eq()) {
                means[nth] += told.web_index / 4.0;
            }
            format!("{:.2}, {:.0} %", told.web_index, told.thinnest.ratio * 100.0)
        });
        println!("| {height} | {} |", cells.join(" | "));
    }
    println!();
    for line in plot(&means) {
        println!("{}", line.trim_end());
    }
}

/// The mean index over spacing: one line for each that occurs, one where webs become likely, and the axis lettered.
fn plot(means: &[f64]) -> Vec<String> {
    let mut levels: Vec<String> = means.iter().map(|mean| format!("{mean:.2}")).collect();
    levels.push(format!("{LIKELY:.2}"));
    levels.sort_by(|a, b| b.cmp(a));
    levels.dedup();
    let mut lines = Vec::new();
    for (nth, level) in levels.iter().enumerate() {
        let mut line = if nth == 0 { "index  ".to_owned() } else { " ".repeat(7) };
        line = format!("{line}{level} |");
        if *level == format!("{LIKELY:.2}") {
            line += "- - - - - - - - - - - - - - - - - - - -  from here on \"likely\"";
        }
        for (mean, (spacing, _)) in means.iter().zip(SPACINGS) {
            if format!("{mean:.2}") == *level {
                put(&mut line, column(spacing), "#");
            }
        }
        lines.push(line);
    }
    let mut axis = " ".repeat(column(0.5));
    let [mut figures, mut words, mut more] = [(); 3].map(|()| String::new());
    for (spacing, trade) in SPACINGS {
        while axis.len() < column(spacing) {
            axis.push('-');
        }
        axis.push('+');
        put(&mut figures, column(spacing) - 1, &spacing.to_string());
        put(&mut words, column(spacing) - 1, trade[0]);
        put(&mut more, column(spacing) - 1, trade[1]);
    }
    figures += "   spacing over height";
    lines.extend([axis, figures, words, more]);
    lines
}

/// Where a spacing stands in a line.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "few columns")]
fn column(spacing: f64) -> usize {
    13 + ((spacing - 0.5) * COLUMNS) as usize
}

/// Writes into a line from a column on, or behind what stands there already, and never so that two figures become one.
fn put(line: &mut String, column: usize, text: &str) {
    if text.is_empty() {
        return;
    }
    while line.len() < column {
        line.push(' ');
    }
    if line.len() >= column && line.ends_with(|last: char| last.is_ascii_alphanumeric()) {
        line.push(' ');
    }
    line.push_str(text);
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
