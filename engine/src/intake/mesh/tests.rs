//! Unit tests of meshes: closed forms of solids, forms of files, what is told.

use std::f64::consts::PI;

use super::shapes::{block, solid, stl, turned};
use super::*;
use crate::geometry::Point;
use crate::intake::{Kind, Problem, Scale, SourceUnit};
use crate::units::{Angle, Length};

/// What a survey may be off by, as a share.
const WITHIN: f64 = 0.005;

fn surveyed(mesh: Mesh) -> Survey {
    survey(&Standing::new(mesh, Up::PlusZ, SourceUnit::Millimetre), Angle::degrees(3.0))
}

#[track_caller]
fn near(got: f64, want: f64, what: &str) {
    assert!((got - want).abs() <= WITHIN * want.abs().max(1.0), "{what}: {got}, not {want}");
}

/// Silhouette, formed surface, steep walls, undercut surface.
#[track_caller]
fn check(mesh: Mesh, silhouette: f64, formed: f64, steep: f64, undercut: f64) {
    let survey = surveyed(mesh);
    assert_eq!(survey.problems, [], "a closed mesh of a mold's size");
    let area: f64 = survey.silhouette.iter().map(|region| region.area().to_mm2()).sum();
    near(area, silhouette, "silhouette");
    near(survey.formed.to_mm2(), formed, "formed surface");
    near(survey.steep.surface.to_mm2(), steep, "steep walls");
    near(survey.undercut.surface.to_mm2(), undercut, "undercut surface");
}

// The surfaces below are those of elementary solids (CRC Standard Mathematical Tables, mensuration formulas).

#[test]
fn a_cone_a_hemisphere_and_a_pyramid_measure_as_their_formulas() {
    let cone = solid(&[(0.0, 0.0), (30.0, 0.0), (0.0, 40.0)], 400);
    check(cone, PI * 900.0, PI * 30.0 * 50.0, 0.0, 0.0);
    let arc = (0..=90).map(|k| libm::sincos(f64::from(k).to_radians()));
    let mut profile = vec![(0.0, 0.0)];
    profile.extend(arc.map(|(sin, cos)| (25.0 * cos, 25.0 * sin)));
    // The sine and cosine of a quarter turn are not quite 1 and 0, which would leave a hole at the top.
    profile.pop();
    profile.push((0.0, 25.0));
    // The lowest three degrees have too little draft.
    let low = Angle::degrees(3.0).sin();
    check(solid(&profile, 400), PI * 625.0, 2.0 * PI * 625.0, 2.0 * PI * 625.0 * low, 0.0);
    let slant = (20.0_f64 * 20.0 + 30.0 * 30.0).sqrt();
    check(block((40.0, 40.0), (0.0, 0.0), 30.0), 1600.0, 4.0 * 40.0 * slant / 2.0, 0.0, 0.0);
}

#[test]
fn blocks_with_and_without_draft_measure_as_their_faces() {
    check(
        block((60.0, 40.0), (60.0, 40.0), 25.0),
        2400.0,
        2400.0 + 200.0 * 25.0,
        200.0 * 25.0,
        0.0,
    );
    let slant = |lean: f64| (30.0_f64 * 30.0 + lean * lean).sqrt();
    let walls = (60.0 + 50.0) * slant(5.0) + (40.0 + 30.0) * slant(5.0);
    check(block((60.0, 40.0), (50.0, 30.0), 30.0), 2400.0, 1500.0 + walls, 0.0, 0.0);
    // Wider above: the sheet falls straight from the top edge and walls lean out.
    let survey = surveyed(block((50.0, 30.0), (60.0, 40.0), 30.0));
    near(survey.formed.to_mm2(), 2400.0 + 200.0 * 30.0, "formed");
    near(survey.undercut.surface.to_mm2(), walls, "undercut");
    near(survey.undercut.plan.to_mm2(), 900.0, "plan");
    assert_eq!(survey.steep.least, None, "{:?}", survey.steep);
}

#[test]
fn a_ring_is_undercut_all_round_and_a_hollow_shell_is_not() {
    let (large, small) = (40.0, 12.0);
    let profile: Vec<(f64, f64)> = (0..200)
        .map(|k| libm::sincos(f64::from(k) / 200.0 * 2.0 * PI))
        .map(|(sin, cos)| (large + small * cos, small + small * sin))
        .collect();
    let survey = surveyed(turned(&profile, 400, true));
    near(survey.silhouette[0].area().to_mm2(), PI * (52.0 * 52.0 - 28.0 * 28.0), "annulus");
    assert_eq!(survey.silhouette[0].holes.len(), 1);
    let upper = 2.0 * PI * PI * large * small;
    near(survey.formed.to_mm2(), upper + 2.0 * PI * 80.0 * small, "half the ring and two walls");
    near(survey.undercut.surface.to_mm2(), upper, "the lower half");
    let shell = solid(
        &[(0.0, 27.0), (27.0, 27.0), (28.0, 0.0), (30.0, 0.0), (29.0, 30.0), (0.0, 30.0)],
        300,
    );
    let survey = surveyed(shell);
    assert_eq!(survey.undercut, Undercut::default());
    near(survey.silhouette[0].area().to_mm2(), PI * 900.0, "shell from above");
}

#[test]
fn every_form_of_file_gives_the_same_mesh() {
    let mesh = block((60.0, 40.0), (50.0, 30.0), 30.0);
    let binary = read_mesh(&stl(&mesh), Kind::Stl, None);
    assert_eq!(
        (&binary.problems[..], binary.scale),
        (&[][..], Scale::Asked(SourceUnit::Millimetre))
    );
    assert_eq!(binary.mesh, mesh);
    let mut text = "solid crab\n".to_owned();
    let mut obj = "# crab\no crab\n".to_owned();
    for [x, y, z] in &mesh.corners {
        obj.push_str(&format!("v {x} {y} {z}\n"));
    }
    for triangle in &mesh.triangles {
        text.push_str("facet normal 0 0 1\n outer loop\n");
        for &index in triangle {
            let [x, y, z] = mesh.corners[index as usize];
            text.push_str(&format!("  vertex {x:e} {y} {z}\n"));
        }
        text.push_str(" endloop\nendfacet\n");
        let [a, b, c] = triangle.map(|index| index + 1);
        obj.push_str(&format!("f {a}/1/1 {b}//2 {c}\n"));
    }
    for (bytes, kind) in [(&text, Kind::Stl), (&obj, Kind::Obj)] {
        let found = read_mesh(bytes.as_bytes(), kind, Some(SourceUnit::Inch));
        assert_eq!((found.problems, found.scale), (vec![], Scale::Known(SourceUnit::Inch)));
        assert_eq!(found.mesh, mesh, "{kind:?}");
    }
}

#[test]
fn six_ways_up_and_a_mesh_inside_out_measure_alike() {
    let mesh = block((60.0, 40.0), (50.0, 30.0), 30.0);
    for (up, height) in Up::ALL.into_iter().zip([30.0, 30.0, 40.0, 40.0, 60.0, 60.0]) {
        let standing = Standing::new(mesh.clone(), up, SourceUnit::Centimetre);
        assert!((standing.height.to_mm() - 10.0 * height).abs() < 1e-9, "{up:?}");
        let lowest = standing.mesh.corners.iter().map(|corner| corner[2]).fold(1.0, f64::min);
        assert!(lowest.abs() < 1e-9, "{up:?}: {lowest}");
    }
    let mut turned = mesh.clone();
    for triangle in &mut turned.triangles {
        triangle.swap(0, 1);
    }
    let (one, other) = (surveyed(mesh), surveyed(turned));
    assert_eq!((one.formed, one.undercut), (other.formed, other.undercut));
}

#[test]
fn what_is_wrong_with_a_mesh_is_told() {
    let words = |problems: &[Problem]| problems.iter().map(Problem::to_string).collect::<Vec<_>>();
    let mut bytes = stl(&block((60.0, 40.0), (50.0, 30.0), 30.0));
    bytes.truncate(84 + 3 * 50 + 20);
    bytes[84 + 12..84 + 16].copy_from_slice(&f32::NAN.to_le_bytes());
    let found = read_mesh(&bytes, Kind::Stl, None);
    assert_eq!(found.mesh.triangles.len(), 2);
    let told = words(&found.problems);
    assert_eq!(
        told[0],
        "the file: it says 12 triangles and has room for 3; as many were read as are there"
    );
    assert!(told[1].starts_with("triangle 1: 1 of triangles without finite corners"), "{told:?}");
    let survey =
        survey(&Standing::new(found.mesh, Up::PlusZ, SourceUnit::Inch), Angle::degrees(3.0));
    let told = words(&survey.problems);
    assert!(told[0].contains("gaps") && told[1].contains("check the unit"), "{told:?}");
    for (bytes, kind) in
        [(&b""[..], Kind::Stl), (b"f 1 2 3\nv 1 x 2", Kind::Obj), (b"PK\x03\x04", Kind::ThreeMf)]
    {
        let found = read_mesh(bytes, kind, None);
        let told = words(&found.problems);
        assert!(told.iter().any(|w| w.contains("no triangle was found")), "{told:?}");
        let _ = surveyed(found.mesh);
    }
}

#[test]
fn the_undercut_ring_of_a_torus_lies_where_its_formula_says() {
    let (ring, r): (f64, f64) = (30.0, 10.0);
    let circle = (0..120).map(|k| libm::sincos(f64::from(k) * PI / 60.0));
    let profile: Vec<_> = circle.map(|(sin, cos)| (ring + r * cos, r + r * sin)).collect();
    let map = surveyed(turned(&profile, 240, true)).by_place;
    assert_eq!((map.columns(), map.rows()), (96, 96));
    // Below a torus that lies on the platen, a gap of r - sqrt(r² - (d - R)²) at a distance d from its axis.
    let gap = |p: Point| {
        let off = p.to_vec2().length() - ring;
        if off.abs() < r { r - (r * r - off * off).sqrt() } else { 0.0 }
    };
    let (mut n_undercut, mut plan) = (0, 0.0);
    for (index, cell) in map.cells().iter().enumerate() {
        let rect = map.rect(index % 96, index / 96);
        let corners = rect.corners().map(gap);
        let most = corners.into_iter().fold(0.0, f64::max);
        let depth = cell.undercut.to_mm();
        let off = (rect.center().to_vec2().length() - ring).abs();
        if off < r - 1.5 && off > 1.5 {
            assert!((depth - most).abs() < 0.4, "{depth}, not {most}, {off} from the ring");
        } else if off > r + 1.0 {
            assert!(depth <= 0.0, "{depth} at {off}");
        }
        if depth > 0.0 {
            n_undercut += 1;
            plan += rect.area().to_mm2();
        }
    }
    // Cells of 0.83 mm reach over both edges of the ring by half a cell in the mean.
    let want = PI * 4.0 * ring * r;
    assert!(plan > 0.97 * want && plan < 1.12 * want, "{n_undercut} cells, {plan}, not {want} mm²");
    // What stands up without draft is the lower half's edge only, which leans out: no steep wall but at the rim.
    assert!(map.cells().iter().flat_map(|cell| cell.steep).all(|draft| draft.to_degrees() < 3.0));
}

#[test]
fn the_upright_walls_of_a_block_are_marked_and_the_drafted_ones_are_not() {
    let map = surveyed(block((60.0, 40.0), (60.0, 30.0), 25.0)).by_place;
    let (columns, rows) = (map.columns(), map.rows());
    assert_eq!((columns, rows), (96, 64));
    for (index, cell) in map.cells().iter().enumerate() {
        let is_side = index % columns == 0 || index % columns == columns - 1;
        assert_eq!(cell.steep.is_some(), is_side, "{index}: {cell:?}");
        assert!(cell.steep.is_none_or(|draft| draft.to_degrees().abs() < 1e-6));
        assert_eq!(cell.undercut, Length::ZERO);
    }
    let both = surveyed(block((60.0, 40.0), (58.0, 38.0), 25.0)).by_place;
    let lean = libm::atan2(1.0, 25.0).to_degrees();
    let steep = both.cells().iter().filter_map(|cell| cell.steep);
    assert_eq!(steep.clone().count(), 4 * 96 + 4 * 64 - 16, "two cells wide all round");
    assert!(steep.into_iter().all(|draft| (draft.to_degrees() - lean).abs() < 1e-6));
}

#[test]
fn faces_of_four_corners_and_corners_counted_from_the_end_are_read() {
    let corners =
        "v 0 0 0\nv 40 0 0\nv 40 30 0\nv 0 30 0\nv 0 0 20\nv 40 0 20\nv 40 30 20\nv 0 30 20\n";
    let forwards = "f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n";
    let backwards =
        "f -5 -6 -7 -8\nf -4/1/1 -3 -2 -1\nf 1//2 2 -3 -4\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n";
    let read = |faces: &str| read_mesh(format!("{corners}{faces}").as_bytes(), Kind::Obj, None);
    let (forwards, backwards) = (read(forwards), read(backwards));
    assert_eq!((forwards.mesh.triangles.len(), forwards.problems.len()), (12, 0));
    assert_eq!(forwards.mesh, backwards.mesh);
    let standing = Standing::new(forwards.mesh, Up::PlusZ, SourceUnit::Millimetre);
    let formed = survey(&standing, Angle::degrees(3.0)).formed.to_mm2();
    assert!((formed - (1200.0 + 140.0 * 20.0)).abs() < 1.0, "{formed}");
}
