//! Outlines read from SVG against another library's: areas, bounds and holes.
//!
//! The drawings and the answers in `data/svg_reference.json` are from svgelements 1.9.6 and Shapely 2.2.0 (see
//! `data/make_svg_reference.py`).

#![expect(clippy::unwrap_used, reason = "a test that cannot read its reference has to fail")]

use engine::intake::{FoundOutline, Scale, SourceUnit, read_svg};
use onepull_tests::assert_near;
use serde_json::Value;

const REFERENCE: &str = include_str!("data/svg_reference.json");

/// What curves cut within 0.01 mm may move bounds by, with the other library's rounding.
const BOUNDS_MM: f64 = 0.011;

fn numbers(row: &Value) -> Vec<f64> {
    row.as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
}

/// Area, bounds and count of holes, in the order of the reference.
fn measures(outline: &FoundOutline) -> [f64; 6] {
    let bounds = outline.region.bounds().unwrap();
    let n_holes = f64::from(u32::try_from(outline.region.holes.len()).unwrap());
    [
        outline.region.area().to_mm2(),
        bounds.min.x,
        bounds.min.y,
        bounds.max.x,
        bounds.max.y,
        n_holes,
    ]
}

/// The outline whose measures are nearest to these, because several may be equally large.
fn nearest<'a>(outlines: &'a [FoundOutline], want: &[f64]) -> &'a FoundOutline {
    let off = |outline: &FoundOutline| -> f64 {
        measures(outline).iter().zip(want).map(|(got, want)| (got - want).abs()).sum()
    };
    outlines.iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap()
}

#[test]
fn every_drawing_gives_the_outlines_that_another_library_sees() {
    let reference: Vec<Value> = serde_json::from_str(REFERENCE).unwrap();
    assert!(reference.len() > 150);
    for row in &reference {
        let (name, drawing) = (row[0].as_str().unwrap(), row[1].as_str().unwrap());
        let found = read_svg(drawing.as_bytes(), None);
        let outlines = found.outlines;
        let wanted: Vec<Vec<f64>> = row[2].as_array().unwrap().iter().map(numbers).collect();
        assert_eq!(outlines.len(), wanted.len(), "{name}: {:?}", found.problems);
        for want in wanted {
            let outline = nearest(&outlines, &want);
            let got = measures(outline);
            let slack = outline.region.perimeter().to_mm() * 0.01 + 1e-4;
            assert_near!(got[0], want[0], slack, "{name}: area");
            for (got, want) in got[1..5].iter().zip(&want[1..5]) {
                assert_near!(*got, *want, BOUNDS_MM, "{name}: bounds");
            }
            assert_near!(got[5], want[5], 0.0, "{name}: holes");
        }
    }
}

#[test]
fn only_the_drawings_without_a_physical_size_ask_for_one() {
    let reference: Vec<Value> = serde_json::from_str(REFERENCE).unwrap();
    for row in &reference {
        let found = read_svg(row[1].as_str().unwrap().as_bytes(), None);
        let expected = match row[0].as_str().unwrap() {
            "pixels without a unit" => Scale::Asked(SourceUnit::Pixel),
            "inches" => Scale::Known(SourceUnit::Inch),
            _ => Scale::Known(SourceUnit::Millimetre),
        };
        assert_eq!(found.scale, expected, "{}", row[0]);
    }
}
