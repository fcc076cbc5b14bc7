//! Meshes measured against other libraries: silhouettes, walls, undercuts and the surface that the sheet covers.
//!
//! The meshes and the answers in `data/mesh_reference.json` are from trimesh 5.2.0 and Shapely 2.2.0 (see
//! `data/make_mesh_reference.py`).

#![expect(clippy::unwrap_used, reason = "a test that cannot read its reference has to fail")]
#![expect(clippy::print_stdout, reason = "measured figures, shown with --nocapture")]

mod formed;

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use engine::drape::Mode;
use engine::intake::{
    FoundOutline, Kind, Place, SourceUnit, Standing, Survey, Up, add_mold, add_mold_from_mesh,
    read_mesh, survey,
};
use engine::plan::{Machine, Mold, Plan, Relief};
use engine::units::Angle;
use onepull_tests::assert_near;
use serde_json::Value;

const REFERENCE: &str = include_str!("data/mesh_reference.json");

/// What a share of a figure read from the height field may be off by.
const WITHIN: f64 = 0.005;

/// The middle of the bounds, in the mesh's own place, and what was measured.
fn surveyed(row: &Value) -> Survey {
    let bytes = BASE64_STANDARD.decode(row[1].as_str().unwrap()).unwrap();
    let found = read_mesh(&bytes, Kind::Stl, Some(SourceUnit::Millimetre));
    assert!(found.problems.is_empty(), "{:?}", found.problems);
    let standing = Standing::new(found.mesh, Up::PlusZ, SourceUnit::Millimetre);
    survey(&standing, Angle::degrees(5.0))
}

#[test]
fn silhouettes_are_the_union_of_all_triangles() {
    let reference: Vec<Value> = serde_json::from_str(REFERENCE).unwrap();
    assert!(reference.len() > 15);
    for row in &reference {
        let name = row[0].as_str().unwrap();
        let survey = surveyed(row);
        let want = |at: usize| row[at].as_f64().unwrap();
        assert_near!(survey.height.to_mm(), want(2), 1e-4, "{name}: height");
        let area: f64 = survey.silhouette.iter().map(|region| region.area().to_mm2()).sum();
        assert_near!(survey.silhouette_within.to_mm(), 0.0, 0.0, "{name}: exact");
        assert_near!(area, want(3), want(3) * 1e-6, "{name}: silhouette");
        let bounds = survey.silhouette[0].bounds().unwrap();
        assert_near!(bounds.width().to_mm(), want(6) - want(4), 1e-4, "{name}: width");
        assert_near!(bounds.depth().to_mm(), want(7) - want(5), 1e-4, "{name}: depth");
        assert_eq!(survey.silhouette[0].holes.len() as u64, row[8].as_u64().unwrap(), "{name}");
    }
}

#[test]
fn surfaces_of_convex_bodies_are_those_of_their_faces() {
    let reference: Vec<Value> = serde_json::from_str(REFERENCE).unwrap();
    let convex = reference.iter().filter(|row| !row[9].is_null());
    let mut n_checked = 0;
    for row in convex {
        let name = row[0].as_str().unwrap();
        let survey = surveyed(row);
        let want = |at: usize| row[at].as_f64().unwrap();
        let area = want(3);
        assert_near!(survey.steep.surface.to_mm2(), want(9), 1e-3, "{name}: steep walls");
        assert_near!(
            survey.undercut.surface.to_mm2(),
            want(10),
            1e-3 + WITHIN * area,
            "{name}: undercut"
        );
        assert_near!(survey.formed.to_mm2(), want(11), WITHIN * want(11), "{name}: formed");
        n_checked += 1;
    }
    assert!(n_checked > 5);
}

#[test]
fn a_silhouette_becomes_a_mold() {
    let reference: Vec<Value> = serde_json::from_str(REFERENCE).unwrap();
    let plan = Plan::new("Plan", Machine::default());
    for row in &reference {
        let survey = surveyed(row);
        let region = survey.silhouette[0].clone();
        let outline = FoundOutline { name: "Mesh".to_owned(), region, at: Place::File };
        let added = add_mold(&plan, &outline, "Mesh", survey.height).unwrap();
        let after = plan.apply(&added.edit).unwrap();
        let mold = after.molds.values().next().unwrap();
        let footprint = mold.footprint.region(engine::geometry::tolerance::MEASURE);
        let slack = added.within.to_mm() * outline.region.perimeter().to_mm();
        assert_near!(footprint.area().to_mm2(), outline.region.area().to_mm2(), slack);
    }
}

/// A frustum of 80 to 48 mm and 30 mm tall, as a mesh and as a taper: the sheet drapes over both alike.
#[test]
fn the_forecast_of_a_mesh_is_that_of_the_same_shape_without_one() {
    let ring = |half: f64, z: f64| {
        let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
        corners.map(|(x, y)| format!("v {x} {y} {z}\n")).concat()
    };
    let faces = "f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n";
    let obj = format!("{}{}{faces}", ring(40.0, 0.0), ring(24.0, 30.0));
    let found = read_mesh(obj.as_bytes(), Kind::Obj, Some(SourceUnit::Millimetre));
    let standing = Standing::new(found.mesh, Up::PlusZ, SourceUnit::Millimetre);
    let survey = survey(&standing, Angle::degrees(3.0));
    let empty = Plan::new("Plan", Machine::default());
    let added = add_mold_from_mesh(&empty, &survey, "Limpet").unwrap();
    let plan = empty.apply(&added.edit).unwrap();
    let meshed = (**plan.molds.values().next().unwrap()).clone();
    let taper = Mold { relief: Relief::Taper { top: 0.6 }, ..formed::block(80.0, 80.0, 30.0) };
    let forecast = |mold: Mold| {
        let plan = formed::standing(200.0, 200.0, &[(mold, (100.0, 100.0, 0.0))]);
        let thickness = formed::formed(&plan, Mode::Rubber, 5.0).sheet.thickness;
        let n = f64::from(u32::try_from(thickness.len()).unwrap());
        let mean = thickness.iter().copied().map(f64::from).sum::<f64>() / n;
        (f64::from(thickness.into_iter().fold(f32::INFINITY, f32::min)), mean)
    };
    let (of_mesh, of_taper) = (forecast(meshed), forecast(taper));
    println!("thinnest and mean: {of_mesh:?} of the mesh, {of_taper:?} of the taper");
    assert_near!(of_mesh.0, of_taper.0, 0.03, "the thinnest, as a share of the gauge");
    assert_near!(of_mesh.1, of_taper.1, 0.01, "the mean, as a share of the gauge");
    assert!(of_taper.0 < 0.9, "the sheet is drawn at all: {of_taper:?}");
}
