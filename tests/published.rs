//! Published and separately derived values, computed through our own code; each row has its source and tolerance.

use engine::physics::webbing::{floor_strip, floor_strip_linear, skirt, tent};
use engine::physics::{Draw, cap_mean, cap_pole, mean_thickness};
use engine::plan::{Footprint, Mold, MoldKind, Relief};
use engine::units::{Angle, Area, Length};

/// One printed value and ours.
struct Row {
    what: &'static str,
    source: &'static str,
    printed: f64,
    ours: f64,
    within: f64,
}

#[track_caller]
fn check(rows: &[Row]) {
    let wrong: Vec<String> = rows
        .iter()
        .filter(|row| (row.ours - row.printed).abs() > row.within || !row.ours.is_finite())
        .map(|row| {
            format!(
                "{}: {} is printed, {} is ours ({})",
                row.what, row.printed, row.ours, row.source
            )
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A straight-walled mold with a level top, or a cavity with a level floor.
fn straight(footprint: Footprint, height: Length, kind: MoldKind) -> Draw {
    let mold = Mold { kind, draft: Angle::ZERO, ..Mold::new("Sample", footprint, height) };
    Draw::of(&mold).expect("the footprint has a surface")
}

fn plate(width: Length, depth: Length) -> Footprint {
    Footprint::Rectangle { width, depth }
}

/// Half a unit of the third decimal, for values printed to three.
const THIRD_DECIMAL: f64 = 0.0005;

const CRAWFORD: &str =
    "R. J. Crawford, Plastics Engineering, example 4.7(a), eq. 4.28, p. 310 (prints 0.67 mm)";
const QUARTERLY: &str =
    "SPE Thermoforming Division, The Ubiquitous Draw Ratio, Thermoforming Quarterly 24(4), 2005";
const THERMOFORM: &str = "thermoform.com, draw ratio, examples 1 and 2";
const MACHINECRAFT: &str = "Machinecraft, wall thickness of thermoformed parts";
const CAP: &str = "area of the spherical cap; pole: R. Hill, Phil. Mag. 41, 1950 (from memory)";
const SECTION: &str = "derived: plane strain, conservation of volume";

#[test]
fn crawford_s_box_keeps_a_third_of_its_gauge() {
    let [length, width, height] = [150.0, 100.0, 60.0].map(Length::mm);
    let draw = straight(plate(length, width), height, MoldKind::Female);
    let left = mean_thickness(Length::mm(2.0), draw.areal).to_mm();
    check(&[
        Row {
            what: "areal draw of 150 x 100 x 60",
            source: CRAWFORD,
            printed: 3.0,
            ours: draw.areal,
            within: 1e-12,
        },
        Row { what: "mean of 2 mm", source: CRAWFORD, printed: 0.67, ours: left, within: 0.005 },
        Row {
            what: "mean of 2 mm, unrounded",
            source: CRAWFORD,
            printed: 2.0 / 3.0,
            ours: left,
            within: 1e-12,
        },
    ]);
}

#[test]
fn one_cup_draws_five_three_and_one() {
    let across = Length::inches(1.0);
    let draw = straight(Footprint::Circle { diameter: across }, across, MoldKind::Female);
    let linear = draw.linear.expect("a cup is scribed across its middle");
    let left = mean_thickness(across, draw.areal) / across;
    // Our circle is a polygon true to 0.004 mm of 12.7 mm: a part in 3000.
    check(&[
        Row { what: "areal", source: QUARTERLY, printed: 5.0, ours: draw.areal, within: 2e-3 },
        Row { what: "linear", source: QUARTERLY, printed: 3.0, ours: linear, within: 1e-12 },
        Row {
            what: "height to diameter",
            source: QUARTERLY,
            printed: 1.0,
            ours: draw.height_to_width,
            within: 5e-4,
        },
        Row { what: "mean thickness", source: QUARTERLY, printed: 0.2, ours: left, within: 1e-4 },
    ]);
}

#[test]
fn the_boxes_of_the_draw_ratio_page_come_out_but_for_its_slip() {
    let [ten, twelve, eleven] = [10.0, 12.0, 11.0].map(Length::inches);
    let low = straight(plate(ten, twelve), Length::inches(2.0), MoldKind::Male);
    let high = straight(plate(ten, eleven), Length::inches(5.0), MoldKind::Male);
    let start = Length::inches(0.100) * low.areal;
    let back = mean_thickness(start, low.areal).to_inches();
    let square_inches = |area: Area| area.to_mm2() / (25.4 * 25.4);
    check(&[
        Row {
            what: "area of 10 x 12 x 2 in",
            source: THERMOFORM,
            printed: 208.0,
            ours: square_inches(low.formed),
            within: 1e-9,
        },
        Row {
            what: "its footprint",
            source: THERMOFORM,
            printed: 120.0,
            ours: square_inches(low.fed),
            within: 1e-9,
        },
        Row { what: "its ratio", source: THERMOFORM, printed: 1.7, ours: low.areal, within: 0.05 },
        Row {
            what: "its ratio, unrounded",
            source: THERMOFORM,
            printed: 208.0 / 120.0,
            ours: low.areal,
            within: 1e-12,
        },
        Row {
            what: "gauge for a 0.100 in wall",
            source: THERMOFORM,
            printed: 0.170,
            ours: start.to_inches(),
            within: 0.005,
        },
        Row { what: "and back", source: THERMOFORM, printed: 0.100, ours: back, within: 1e-12 },
        // The page adds 300 and 2.73 for this box; its own dimensions give 110 + 210 = 320 and 2.909.
        Row {
            what: "area of 10 x 11 x 5 in",
            source: THERMOFORM,
            printed: 320.0,
            ours: square_inches(high.formed),
            within: 1e-9,
        },
        Row {
            what: "its ratio",
            source: THERMOFORM,
            printed: 2.909,
            ours: high.areal,
            within: THIRD_DECIMAL,
        },
    ]);
}

#[test]
fn depth_over_width_is_taken_of_the_narrower_side() {
    let deep =
        straight(plate(Length::mm(500.0), Length::mm(800.0)), Length::mm(200.0), MoldKind::Female);
    check(&[Row {
        what: "200 deep in 500 x 800",
        source: MACHINECRAFT,
        printed: 0.40,
        ours: deep.height_to_width,
        within: 1e-12,
    }]);
}

#[test]
fn free_caps_thin_towards_the_pole() {
    let rim = Length::mm(40.0);
    let means = [(0.25, 0.941), (0.5, 0.800), (0.75, 0.640), (1.0, 0.500)];
    let poles = [(0.25, 0.886), (0.5, 0.640), (0.75, 0.410), (1.0, 0.250)];
    let row = |what, printed, ours| Row { what, source: CAP, printed, ours, within: THIRD_DECIMAL };
    let means = means.map(|(h, printed)| row("cap mean", printed, cap_mean(rim * h, rim)));
    let poles = poles.map(|(h, printed)| row("cap pole", printed, cap_pole(rim * h, rim)));
    check(&means);
    check(&poles);
    // The mean of a hemisphere through the drawing of a mold: a dome as tall as its radius.
    let dome = Mold {
        relief: Relief::Dome,
        ..Mold::new("Sample", Footprint::Circle { diameter: rim * 2.0 }, rim)
    };
    let left = 1.0 / Draw::of(&dome).expect("the footprint has a surface").areal;
    check(&[Row { what: "hemisphere mean", source: CAP, printed: 0.5, ours: left, within: 1e-4 }]);
}

#[test]
fn tents_skirts_and_floors_keep_what_their_sections_say() {
    let height = Length::mm(40.0);
    let row =
        |what, printed, ours| Row { what, source: SECTION, printed, ours, within: THIRD_DECIMAL };
    let tents =
        [(0.25, 0.243), (0.5, 0.447), (1.0, 0.707), (1.5, 0.832), (2.0, 0.894), (3.0, 0.949)];
    check(&tents.map(|(gap, printed)| row("tent", printed, tent(height * gap, height))));
    let skirts = [(0.5, 0.333), (1.0, 0.500), (2.0, 0.667), (3.0, 0.750)];
    check(&skirts.map(|(gap, printed)| row("skirt", printed, skirt(height * gap, height))));
    let floors = [(1.0, 0.333), (1.5, 0.429), (1.75, 0.467), (2.0, 0.500), (3.0, 0.600)];
    check(
        &floors.map(|(space, printed)| {
            row("floor", printed, floor_strip(height * space, [height; 2]))
        }),
    );
    let lines = [(1.0, 3.00), (1.5, 2.33), (1.75, 2.14), (2.0, 2.00), (3.0, 1.67)];
    check(&lines.map(|(space, printed)| Row {
        within: 0.005,
        ..row("line", printed, floor_strip_linear(height * space, [height; 2]))
    }));
}

#[test]
fn a_shallow_box_keeps_a_little_more_than_half() {
    let draw =
        straight(plate(Length::mm(300.0), Length::mm(200.0)), Length::mm(50.0), MoldKind::Male);
    let row =
        |what, printed, ours| Row { what, source: SECTION, printed, ours, within: THIRD_DECIMAL };
    check(&[row("areal", 1.833, draw.areal), row("mean", 0.545, 1.0 / draw.areal)]);
}
