//! Foreign files broken by chance: no reader panics, takes long or returns more than its bounds.

#![expect(clippy::unwrap_used, reason = "a test that cannot read its reference has to fail")]

mod archive;

use std::time::{Duration, Instant};

use archive::archive;
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use engine::intake::{
    Found, Kind, SourceUnit, Standing, Up, read_dxf, read_mesh, read_svg, survey,
};
use engine::units::Angle;
use onepull_tests::chance::Chance;
use serde_json::Value;

const SVG: &str = include_str!("data/svg_reference.json");
const DXF: &str = include_str!("data/dxf_reference.json");

/// What one small broken file may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(5);

/// Pieces that break readers: signs, limits, numbers that are none.
const PIECES: [&str; 16] = [
    "<",
    "\"",
    "\0",
    "-",
    "1e309",
    "NaN",
    "inf",
    "99999999999",
    "0",
    "\n",
    "M",
    "z",
    "&",
    "1e-320",
    "#",
    "\u{fffd}",
];

/// A file with a few changes: pieces put in, bytes changed, stretches doubled or cut.
fn broken(bytes: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut broken = bytes.to_vec();
    for _ in 0..=chance.below(6) {
        let at = chance.below(broken.len());
        let end = (at + chance.below(40)).min(broken.len());
        match chance.below(5) {
            0 => {
                let piece = PIECES[chance.below(PIECES.len())];
                broken.splice(at..at, piece.bytes());
            }
            1 => {
                let piece = PIECES[chance.below(PIECES.len())];
                broken.splice(at..end, piece.bytes());
            }
            2 if at < broken.len() => broken[at] = u8::try_from(chance.below(256)).unwrap(),
            3 => {
                let stretch = broken[at..end].to_vec();
                broken.splice(at..at, stretch);
            }
            _ => drop(broken.drain(at..end)),
        }
    }
    broken
}

/// Reads thousands of broken files; some have to be refused and some read, or chance was too kind or too cruel.
fn survives(reference: &str, column: usize, read: impl Fn(&[u8]) -> Found) {
    let rows: Vec<Value> = serde_json::from_str(reference).unwrap();
    let mut chance = Chance::of_all_bits(20_260_804);
    let (mut n_read, mut n_told) = (0, 0);
    for _ in 0..4000 {
        let row = &rows[chance.below(rows.len())];
        let bytes = broken(row[column].as_str().unwrap().as_bytes(), &mut chance);
        let started = Instant::now();
        let found = read(&bytes);
        let text = String::from_utf8_lossy(&bytes);
        assert!(started.elapsed() < PATIENCE, "{:?} for {text}", started.elapsed());
        let points =
            found.outlines.iter().flat_map(|one| one.region.rings()).flat_map(|r| r.points());
        assert!(points.into_iter().all(|p| p.is_finite()), "{text}");
        assert!(found.problems.len() <= 250, "{} problems of {text}", found.problems.len());
        n_read += u32::from(!found.outlines.is_empty());
        n_told += u32::from(!found.problems.is_empty());
    }
    assert!(n_read > 400 && n_told > 400, "{n_read} read, {n_told} told");
}

/// A small mesh in every form of file.
fn meshes() -> Vec<(Kind, Vec<u8>)> {
    let rows: Vec<Value> = serde_json::from_str(include_str!("data/mesh_reference.json")).unwrap();
    let stl = BASE64_STANDARD.decode(rows[0][1].as_str().unwrap()).unwrap();
    let mesh = read_mesh(&stl, Kind::Stl, None).mesh;
    let mut obj = String::new();
    let mut text = "solid limpet\n".to_owned();
    let (mut vertices, mut triangles) = (String::new(), String::new());
    for [x, y, z] in &mesh.corners {
        obj.push_str(&format!("v {x:.3} {y:.3} {z:.3}\n"));
        vertices.push_str(&format!("<vertex x='{x:.3}' y='{y:.3}' z='{z:.3}'/>\n"));
    }
    for [a, b, c] in &mesh.triangles {
        obj.push_str(&format!("f {} {}/1 -{}\n", a + 1, b + 1, mesh.corners.len() - *c as usize));
        triangles.push_str(&format!("<triangle v1='{a}' v2='{b}' v3='{c}'/>"));
        text.push_str("facet normal 0 0 0\nouter loop\n");
        for index in [a, b, c] {
            let [x, y, z] = mesh.corners[*index as usize];
            text.push_str(&format!("vertex {x:.3} {y:.3} {z:.3}\n"));
        }
        text.push_str("endloop\nendfacet\n");
    }
    let model = format!(
        "<model unit='inch' xmlns='http://schemas.microsoft.com/3dmanufacturing/core/2015/02'><resources>\
         <object id='1'><mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh></object>\
         <object id='2'><components><component objectid='1' transform='0 1 0 -1 0 0 0 0 1 5 6 7'/></components></object>\
         </resources><build><item objectid='2'/></build></model>"
    );
    let packed = [archive(model.as_bytes(), true), archive(model.as_bytes(), false)];
    let [packed, plain] = packed.map(|bytes| (Kind::ThreeMf, bytes));
    vec![
        (Kind::Stl, stl),
        (Kind::Stl, text.into_bytes()),
        (Kind::Obj, obj.into_bytes()),
        packed,
        plain,
    ]
}

#[test]
fn a_packed_mesh_is_read_placed_and_in_its_unit() {
    let meshes = meshes();
    let plain = read_mesh(&meshes[0].1, Kind::Stl, None);
    for (kind, bytes) in &meshes[3..] {
        let found = read_mesh(bytes, *kind, None);
        assert!(found.problems.is_empty(), "{:?}", found.problems);
        assert_eq!(found.scale.unit(), SourceUnit::Inch);
        assert_eq!(found.mesh.triangles.len(), plain.mesh.triangles.len());
        let [x, y, z] = plain.mesh.corners[0];
        for (got, want) in found.mesh.corners[0].into_iter().zip([5.0 - y, 6.0 + x, 7.0 + z]) {
            assert!((got - want).abs() < 1e-3, "{:?}", found.mesh.corners[0]);
        }
    }
}

#[test]
fn an_archive_made_to_grow_is_cut_off() {
    let bomb = archive(&vec![b' '; 120 << 20], true);
    assert!(bomb.len() < 1 << 20);
    let found = read_mesh(&bomb, Kind::ThreeMf, None);
    let told = found.problems[0].to_string();
    assert!(told.contains("more than the 104857600 that are read"), "{told}");
}

/// What the largest file made to be slow may take on a busy machine, without optimisation.
const LONG_PATIENCE: Duration = Duration::from_secs(60);

/// A binary STL of triangles at random: `n` of them, each up to `size` large in a cube of 100 mm.
fn soup(n: u32, size: f64) -> Vec<u8> {
    let mut chance = Chance::of_all_bits(7);
    let mut share = || f64::from(u32::try_from(chance.bits() >> 40).unwrap()) / f64::from(1 << 24);
    let mut bytes = vec![b' '; 80];
    bytes.extend(n.to_le_bytes());
    for _ in 0..n {
        bytes.extend([0; 12]);
        let middle = [share(), share(), share()].map(|value| 100.0 * value);
        for _ in 0..3 {
            for place in middle {
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "the form holds single precision"
                )]
                let value = (place + size * share()) as f32;
                bytes.extend(value.to_le_bytes());
            }
        }
        bytes.extend([0; 2]);
    }
    bytes
}

#[test]
fn meshes_made_to_be_slow_are_measured_all_the_same() {
    for (n, size) in [(20_000, 100.0), (200_000, 5.0), (300_000, 0.3)] {
        let bytes = soup(n, size);
        let started = Instant::now();
        let found = read_mesh(&bytes, Kind::Stl, Some(SourceUnit::Millimetre));
        let standing = Standing::new(found.mesh, Up::PlusZ, SourceUnit::Millimetre);
        let survey = survey(&standing, Angle::degrees(3.0));
        let took = started.elapsed();
        assert!(took < LONG_PATIENCE, "{took:?} for {n} triangles of {size} mm");
        let area: f64 = survey.silhouette.iter().map(|region| region.area().to_mm2()).sum();
        assert!(area > 900.0 && survey.silhouette_within.to_mm() < 5.0, "{area} for {size}");
    }
}

#[test]
fn drawings_made_to_be_slow_are_read_all_the_same() {
    let head = "<svg xmlns='http://www.w3.org/2000/svg' width='500mm' viewBox='0 0 500 500'>";
    let mut chance = Chance::of_all_bits(8);
    let mut scribble = format!("{head}<path d='M0 0");
    for _ in 0..390_000 {
        scribble.push_str(&format!(" {} {}", chance.below(500), chance.below(500)));
    }
    scribble.push_str("z'/></svg>");
    let circle = |k: usize| format!("<circle cx='250' cy='250' r='{}'/>", 10.0 + 0.1 * k as f64);
    let nested = format!("{head}{}</svg>", (0..2300).map(circle).collect::<String>());
    let one_place = |k: u32| format!("0\nLINE\n10\n5\n20\n5\n11\n{k}\n21\n900\n");
    let star: String = (0..60_000).map(|k| one_place(k % 9000)).collect();
    let svg: fn(&[u8]) -> Found = |bytes| read_svg(bytes, None);
    let dxf: fn(&[u8]) -> Found = |bytes| read_dxf(bytes, None);
    for (name, text, read) in
        [("scribble", scribble, svg), ("nested", nested, svg), ("star", star, dxf)]
    {
        let started = Instant::now();
        let found = read(text.as_bytes());
        let took = started.elapsed();
        assert!(took < LONG_PATIENCE, "{took:?} for the {name}");
        assert!(found.problems.len() < 250, "{name}");
    }
}

#[test]
fn broken_meshes_are_read_as_far_as_they_go() {
    let meshes = meshes();
    let mut chance = Chance::of_all_bits(20_260_806);
    let (mut n_read, mut n_told) = (0, 0);
    for round in 0..4000 {
        let (kind, bytes) = &meshes[round % meshes.len()];
        let bytes = broken(bytes, &mut chance);
        let started = Instant::now();
        let found = read_mesh(&bytes, *kind, Some(SourceUnit::Millimetre));
        let is_read = !found.mesh.triangles.is_empty();
        // Measuring takes longer than reading, so every tenth is measured.
        if (round / meshes.len()).is_multiple_of(10) {
            let standing = Standing::new(found.mesh, Up::PlusY, SourceUnit::Millimetre);
            let survey = survey(&standing, Angle::degrees(3.0));
            assert!(survey.formed.to_mm2().is_finite() && survey.heights.highest().is_finite());
        }
        assert!(started.elapsed() < PATIENCE, "{:?} for round {round}", started.elapsed());
        n_read += u32::from(is_read);
        n_told += u32::from(!found.problems.is_empty());
    }
    assert!(n_read > 400 && n_told > 400, "{n_read} read, {n_told} told");
}

#[test]
fn broken_svg_is_read_as_far_as_it_goes() {
    survives(SVG, 1, |bytes| read_svg(bytes, None));
}

#[test]
fn broken_dxf_is_read_as_far_as_it_goes() {
    survives(DXF, 2, |bytes| read_dxf(bytes, None));
}
