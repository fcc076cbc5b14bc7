//! Outlines read from DXF against another library's: areas, bounds and holes.
//!
//! The drawings and the answers in `data/dxf_reference.json` are from ezdxf 1.4.5 and Shapely 2.2.0 (see
//! `data/make_dxf_reference.py`).

#![expect(clippy::unwrap_used, reason = "a test that cannot read its reference has to fail")]

use engine::intake::{FoundOutline, Scale, SourceUnit, read_dxf};
use onepull_tests::assert_near;
use serde_json::Value;

const REFERENCE: &str = include_str!("data/dxf_reference.json");

/// What curves cut within 0.01 mm may move bounds by, with the other library's cutting.
const BOUNDS_MM: f64 = 0.012;

fn numbers(row: &Value) -> Vec<f64> {
    row.as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
}

fn area(outline: &FoundOutline) -> f64 {
    outline.region.area().to_mm2()
}

/// The outline whose bounds are nearest to these, because several may be equally large.
fn nearest<'a>(outlines: &'a [FoundOutline], want: &[f64], mm: f64) -> &'a FoundOutline {
    let off = |outline: &FoundOutline| {
        let bounds = outline.region.bounds().unwrap();
        let got = [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y];
        got.iter().zip(&want[1..5]).map(|(got, want)| (got - want * mm).abs()).sum::<f64>()
    };
    outlines.iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap()
}

#[test]
fn every_drawing_gives_the_outlines_that_another_library_sees() {
    let reference: Vec<Value> = serde_json::from_str(REFERENCE).unwrap();
    assert!(reference.len() > 50);
    for row in &reference {
        let name = row[0].as_str().unwrap();
        let found = read_dxf(row[2].as_str().unwrap().as_bytes(), None);
        let unit = row[1].as_f64();
        assert_eq!(unit.is_some(), matches!(found.scale, Scale::Known(_)), "{name}");
        let mm = unit.unwrap_or(1.0);
        assert_near!(found.scale.unit().length().to_mm(), mm, 1e-9, "{name}: unit");
        let wanted: Vec<Vec<f64>> = row[3].as_array().unwrap().iter().map(numbers).collect();
        assert_eq!(found.outlines.len(), wanted.len(), "{name}: {:?}", found.problems);
        for want in wanted {
            let outline = nearest(&found.outlines, &want, mm);
            let around = outline.region.perimeter().to_mm();
            // The other library strays by up to 0.0005 of a unit, and so by far more in feet.
            let slack = around * (0.01 + 0.0005 * mm) + 1e-3;
            assert_near!(area(outline), want[0] * mm * mm, slack, "{name}: area");
            let bounds = outline.region.bounds().unwrap();
            let got = [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y];
            for (got, want) in got.iter().zip(&want[1..5]) {
                assert_near!(*got, want * mm, BOUNDS_MM + 0.0005 * mm, "{name}: bounds");
            }
            let n_holes = f64::from(u32::try_from(outline.region.holes.len()).unwrap());
            assert_near!(n_holes, want[5], 0.0, "{name}: holes");
        }
    }
}

#[test]
fn an_answer_holds_whatever_the_drawing_says() {
    let reference: Vec<Value> = serde_json::from_str(REFERENCE).unwrap();
    let inches = reference.iter().find(|row| row[0] == "inches").unwrap();
    let found = read_dxf(inches[2].as_str().unwrap().as_bytes(), Some(SourceUnit::Centimetre));
    assert_eq!(found.scale, Scale::Known(SourceUnit::Centimetre));
    assert_near!(found.outlines[0].region.bounds().unwrap().width().to_mm(), 30.0, 1e-9);
}
