//! What the program prints of a foreign file: each outline in millimetres, with a mold that a plan opens with.

mod foreign;
mod program;

use std::path::{Path, PathBuf};

use engine::file::load;
use engine::geometry::Ring;
use engine::plan::{Footprint, Mold};
use engine::units::Length;
use foreign::Files;
use onepull_tests::assert_near;
use onepull_tests::photo_scene::Mold as Lobed;
use program::{Said, json, run};
use serde_json::Value;

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../public/samples").join(name)
}

#[track_caller]
fn imported(file: &Path, options: &[&str]) -> Value {
    let file = file.to_str().expect("text");
    let said: Said = run(&[&["import", file], options].concat(), b"");
    assert_eq!(said.status, 0, "{}", said.message);
    json(&said)
}

/// The one mold of the plan that was printed.
#[track_caller]
fn mold_in(mold: &Value) -> Mold {
    let plan = load(&mold["plan"].to_string()).expect("a plan that opens");
    assert_eq!(plan.molds.len(), 1);
    let mold = plan.molds.into_values().next().expect("one");
    (*mold).clone()
}

fn area(mold: &Mold) -> f64 {
    let Footprint::Outline { outer, holes } = &mold.footprint else { panic!("{mold:?}") };
    holes.iter().chain([outer]).map(Ring::signed_area).sum()
}

/// The shoelace sum over the rings that were printed, holes turning the other way.
fn printed_area(outline: &Value) -> f64 {
    let rings = outline["rings_mm"].as_array().expect("rings");
    let number = |corner: &Value, k: usize| corner[k].as_f64().expect("a coordinate");
    let twice = |ring: &Value| {
        let corners = ring.as_array().expect("corners");
        let next = corners.iter().cycle().skip(1);
        let cross =
            |(a, b): (&Value, &Value)| number(a, 0) * number(b, 1) - number(b, 0) * number(a, 1);
        corners.iter().zip(next).map(cross).sum::<f64>()
    };
    rings.iter().map(twice).sum::<f64>() / 2.0
}

/// Each outline prints its rings and a mold of the same area; says the areas, the largest first.
#[track_caller]
fn outlines_are_molds(said: &Value) -> Vec<f64> {
    let outlines = said["outlines"].as_array().expect("outlines");
    let each = outlines.iter().map(|outline| {
        let told = outline["area_mm2"].as_f64().expect("an area");
        assert_near!(printed_area(outline), told, 1e-6 * told, "the rings of {}", outline["name"]);
        // Corners of a mold are rounded to the micrometre at most, and simplified by what is told.
        let within = outline["mold"]["within_mm"].as_f64().expect("a length") + 1e-3;
        let rings = outline["rings_mm"].as_array().expect("rings").len();
        let mold = mold_in(&outline["mold"]);
        let region = mold.footprint.region(Length::mm(0.01));
        let reach = region.perimeter().to_mm();
        assert_near!(area(&mold), told, within * reach, "the mold of {}", outline["name"]);
        assert_eq!(region.holes.len(), rings - 1);
        told
    });
    each.collect()
}

#[test]
fn a_drawing_prints_rings_and_molds_that_open() {
    let shells = outlines_are_molds(&imported(&sample("clam-halves.svg"), &["--unit", "mm"]));
    assert_eq!(shells.len(), 2);
    let stars = outlines_are_molds(&imported(&sample("starfish.dxf"), &[]));
    assert_eq!(stars.len(), 1);
    assert!(shells.iter().chain(&stars).all(|area| *area > 1000.0), "{shells:?} {stars:?}");
}

#[test]
fn a_mesh_prints_a_mold_with_its_heights() {
    let said = imported(&sample("limpet.stl"), &["--unit", "mm"]);
    assert_eq!(outlines_are_molds(&said).len(), 1);
    for printed in [&said["mold"], &said["outlines"][0]["mold"]] {
        let mold = mold_in(printed);
        let height = said["height_mm"].as_f64().expect("a height");
        assert_near!(mold.height.to_mm(), height, 1e-3);
        assert!(mold.relief.n_cells() > 100, "{:?}", mold.relief);
        let highest = mold.heights(Length::mm(1.0)).highest();
        assert_near!(highest, height, 0.05 * height, "the heights of the mold");
    }
}

#[test]
fn a_photograph_prints_the_mold_that_was_photographed() {
    let said = imported(&sample("crab-shell.png"), &["--paper", "a4"]);
    let areas = outlines_are_molds(&said);
    assert_eq!(areas.len(), 1);
    // What `samples.rs` renders the photograph of.
    let crab = Lobed::Lobed { size: 58.0, a: 0.16, b: 0.09 };
    assert_near!(areas[0] / crab.area(), 1.0, 0.01, "area as a share");
    assert_near!(said["simplified_to_mm"].as_f64().expect("a length"), 0.1, 1e-12);
    let by_hand = said["corners_px"]
        .as_array()
        .expect("corners")
        .iter()
        .flat_map(|corner| [0, 1].map(|k| corner[k].as_f64().expect("a pixel").to_string()));
    let by_hand = by_hand.collect::<Vec<_>>().join(",");
    let set = imported(&sample("crab-shell.png"), &["--paper", "a4", "--photo-corners", &by_hand]);
    let error = |said: &Value| said["expected_error_mm"].as_f64().expect("a length");
    assert!(error(&set) > error(&said) + 0.2, "{} and {}", error(&set), error(&said));
}

#[test]
fn a_file_with_the_wrong_name_is_read_as_what_it_is_and_told() {
    let files = Files::new("misnamed");
    for (name, content, kind, words) in [
        ("limpet.svg", "limpet.stl", "stl", "an STL mesh"),
        ("clams.stl", "clam-halves.svg", "svg", "an SVG drawing"),
    ] {
        let bytes = std::fs::read(sample(content)).expect("a sample");
        let said = imported(&files.write(name, bytes), &[]);
        assert_eq!(said["kind"], kind, "{name}");
        let told = said["problems"][0]["what"].as_str().expect("words");
        assert!(told.contains(words) && told.contains("whatever its name says"), "{told}");
        assert!(!outlines_are_molds(&said).is_empty());
    }
}
