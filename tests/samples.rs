//! Sample files to try imports with: made here (`UPDATE=1` writes them), kept in `public/samples`, and read back.

use std::f64::consts::PI;
use std::fmt::Write;
use std::fs;
use std::path::PathBuf;

use engine::geometry::Point;
use engine::intake::photo::{Paper, Picture, TraceSettings, find_paper, trace};
use engine::intake::{
    Found, Kind, Scale, SourceUnit, Standing, Up, add_mold_from_mesh, read_dxf, read_mesh,
    read_svg, survey,
};
use engine::physics::Draw;
use engine::plan::{Machine, Plan};
use engine::units::Angle;
use onepull_tests::assert_near;
use onepull_tests::photo_scene::{Mold, Scene};

/// The sample as it is kept; it must be what is made here.
#[track_caller]
fn kept(name: &str, made: &[u8]) -> Vec<u8> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../public/samples").join(name);
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, made).expect("writes");
    }
    let kept = fs::read(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert!(kept == made, "{name} is out of date; run with UPDATE=1 and look at it");
    kept
}

/// Areas of the outlines in square millimetres, the largest first, of a drawing without problems.
#[track_caller]
fn areas(found: &Found) -> Vec<f64> {
    assert_eq!(found.problems, [], "a sample has no problems");
    assert_eq!(found.scale, Scale::Known(SourceUnit::Millimetre), "and says its size");
    found.outlines.iter().map(|one| one.region.area().to_mm2()).collect()
}

/// Two clam halves, mirrored: half a disc of radius `r`, closed by the half of an ellipse that is `r` and `b`.
const CLAM: (f64, f64) = (32.0, 12.0);

fn clam_halves() -> String {
    let (r, b) = CLAM;
    let half = |x: f64, name: &str, turn: &str| {
        format!(
            "  <path id=\"{name}\" transform=\"translate({x} 40){turn}\" \
             d=\"M {r} 0 A {r} {r} 0 0 1 -{r} 0 A {r} {b} 0 0 1 {r} 0 Z\" \
             fill=\"none\" stroke=\"black\" stroke-width=\"0.35\"/>\n"
        )
    };
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"160mm\" height=\"90mm\" viewBox=\"0 0 160 90\">\n\
         \x20 <title>Clam halves for a tide-pool diorama</title>\n{}{}</svg>\n",
        half(40.0, "Clam half, left", ""),
        half(120.0, "Clam half, right", " scale(-1 1)"),
    )
}

#[test]
fn the_clam_halves_are_two_outlines_of_their_size() {
    let bytes = kept("clam-halves.svg", clam_halves().as_bytes());
    assert_eq!(Kind::of("clam-halves.svg", &bytes), Some(Kind::Svg));
    let found = read_svg(&bytes, None);
    let mut names: Vec<_> = found.outlines.iter().map(|one| one.name.as_str()).collect();
    names.sort_unstable();
    assert_eq!(names, ["Clam half, left", "Clam half, right"]);
    // Half a disc and half an ellipse (mensuration).
    let (r, b) = CLAM;
    for area in areas(&found) {
        assert_near!(area, PI * r * (r + b) / 2.0, 1.0);
    }
}

/// A starfish with five arms, its tips and notches rounded by arcs: the radii of tips and notches about its middle.
const STARFISH: (f64, f64) = (45.0, 17.0);

/// How many degrees the arc at a tip turns. Its bulge is the tangent of a quarter of that (DXF reference, LWPOLYLINE, group 42).
const TIP_TURN: f64 = 120.0;

/// Half of the blunt end of an arm.
const TIP_HALF: f64 = 4.0;

/// The corners of the starfish with their bulges.
fn starfish_corners() -> Vec<(Point, f64)> {
    let (tip, notch) = STARFISH;
    let bulge = Angle::degrees(TIP_TURN / 4.0).tan();
    let mut corners = Vec::new();
    for arm in 0..5_u32 {
        let (sin, cos) = Angle::degrees(90.0 + 72.0 * f64::from(arm)).sin_cos();
        let across = |side: f64| Point::new(tip * cos - side * sin, tip * sin + side * cos);
        corners.push((across(-TIP_HALF), bulge));
        corners.push((across(TIP_HALF), 0.0));
        let (sin, cos) = Angle::degrees(126.0 + 72.0 * f64::from(arm)).sin_cos();
        corners.push((Point::new(notch * cos, notch * sin), 0.0));
    }
    corners
}

fn starfish() -> String {
    let mut text = String::from(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n\
         0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nstarfish\n90\n15\n70\n1\n",
    );
    for (at, bulge) in starfish_corners() {
        let _written = write!(text, "10\n{:.4}\n20\n{:.4}\n42\n{bulge:.6}\n", at.x, at.y);
    }
    text.push_str("0\nENDSEC\n0\nEOF\n");
    text
}

#[test]
fn the_starfish_is_one_outline_of_its_size() {
    let bytes = kept("starfish.dxf", starfish().as_bytes());
    assert_eq!(Kind::of("starfish.dxf", &bytes), Some(Kind::Dxf));
    let corners = starfish_corners();
    let next = corners.iter().cycle().skip(1);
    let flat: f64 = corners.iter().zip(next).map(|((a, _), (b, _))| a.x * b.y - b.x * a.y).sum();
    // A segment of a circle over a chord, by the arc's turn (mensuration).
    let radius = TIP_HALF / Angle::degrees(TIP_TURN / 2.0).sin();
    let segment =
        radius * radius * (Angle::degrees(TIP_TURN).to_radians() - Angle::degrees(TIP_TURN).sin())
            / 2.0;
    let [area] = areas(&read_dxf(&bytes, None))[..] else { panic!("one outline") };
    assert_near!(area, flat / 2.0 + 5.0 * segment, 1.0);
}

/// A limpet: a cone of this radius and height whose wall swells and is ribbed.
const LIMPET: (f64, f64) = (24.0, 16.0);
const RIBS: u32 = 12;
const AROUND: u32 = 8 * RIBS;
const UP: u32 = 10;

/// A corner of the limpet's wall: `level` of the way up, at a step round it.
fn limpet_corner(step: u32, level: u32) -> [f64; 3] {
    let up = f64::from(level) / f64::from(UP);
    let turn = Angle::degrees(360.0 * f64::from(step % AROUND) / f64::from(AROUND));
    let rib = 1.0 + 0.04 * (1.0 - up) * Angle::radians(f64::from(RIBS) * turn.to_radians()).cos();
    // A parabola between a cone and a dome.
    let out = LIMPET.0 * (1.0 - up) * (1.0 + 0.6 * up) * rib;
    let (sin, cos) = turn.sin_cos();
    [out * cos, 0.85 * out * sin, LIMPET.1 * up]
}

/// Its wall and its foot, all round; the wall's last row is a fan to the tip.
fn limpet_triangles() -> Vec<[[f64; 3]; 3]> {
    let mut triangles = Vec::new();
    for step in 0..AROUND {
        let corner = |side: u32, level: u32| limpet_corner(step + side, level);
        triangles.push([[0.0; 3], corner(1, 0), corner(0, 0)]);
        for level in 0..UP {
            triangles.push([corner(0, level), corner(1, level), corner(0, level + 1)]);
            if level + 1 < UP {
                triangles.push([corner(1, level), corner(1, level + 1), corner(0, level + 1)]);
            }
        }
    }
    triangles
}

fn limpet() -> Vec<u8> {
    let triangles = limpet_triangles();
    let mut bytes = b"Limpet for a tide-pool diorama, in millimetres".to_vec();
    bytes.resize(80, b' ');
    bytes.extend(u32::try_from(triangles.len()).expect("few").to_le_bytes());
    for triangle in triangles {
        bytes.extend([0; 12]);
        for value in triangle.concat() {
            #[expect(clippy::cast_possible_truncation, reason = "the form holds single precision")]
            let value = value as f32;
            bytes.extend(value.to_le_bytes());
        }
        bytes.extend([0; 2]);
    }
    bytes
}

#[test]
fn the_limpet_is_a_whole_mesh_that_makes_a_mold() {
    let bytes = kept("limpet.stl", &limpet());
    assert!(bytes.len() < 120_000, "{} bytes", bytes.len());
    assert_eq!(Kind::of("limpet.stl", &bytes), Some(Kind::Stl));
    let found = read_mesh(&bytes, Kind::Stl, Some(SourceUnit::Millimetre));
    assert_eq!(found.problems, []);
    let standing = Standing::new(found.mesh, Up::PlusZ, SourceUnit::Millimetre);
    let survey = survey(&standing, Angle::degrees(3.0));
    assert_eq!(survey.problems, []);
    assert_near!(survey.height.to_mm(), LIMPET.1, 1e-5);
    // The outline's area by its corners (the shoelace formula).
    let foot: Vec<_> = (0..=AROUND).map(|step| limpet_corner(step, 0)).collect();
    let area: f64 = foot.windows(2).map(|p| p[0][0] * p[1][1] - p[1][0] * p[0][1]).sum();
    assert_near!(survey.silhouette[0].area().to_mm2(), area / 2.0, 0.01);
    // The wall's surface, triangle by triangle.
    let surface = |[a, b, c]: [[f64; 3]; 3]| {
        let side = |p: [f64; 3]| [p[0] - a[0], p[1] - a[1], p[2] - a[2]];
        let (u, v) = (side(b), side(c));
        let cross = |i: usize, j: usize| u[i] * v[j] - u[j] * v[i];
        let n = [cross(1, 2), cross(2, 0), cross(0, 1)];
        (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt() / 2.0
    };
    let walls = limpet_triangles().into_iter().filter(|t| t.iter().any(|p| p[2] > 0.0));
    let want: f64 = walls.map(surface).sum();
    assert_near!(survey.formed.to_mm2(), want, 0.005 * want);
    let plan = Plan::new("Plan", Machine::default());
    let added = add_mold_from_mesh(&plan, &survey, "Limpet").expect("a mold");
    let plan = plan.apply(&added.edit).expect("adds");
    let formed = plan.molds.values().next().and_then(|mold| Draw::of(mold)).expect("a draw").formed;
    assert_near!(formed.to_mm2(), want, 0.03 * want);
}

const CRAB: Mold = Mold::Lobed { size: 58.0, a: 0.16, b: 0.09 };
const CRAB_SIZE: (u32, u32) = (1200, 900);

fn crab_shell() -> Vec<u8> {
    let scene = Scene {
        size: CRAB_SIZE,
        card: None,
        half: (148.5, 105.0),
        mold: CRAB,
        hole: None,
        line: None,
        color: [150.0, 74.0, 52.0],
        tilt: Angle::degrees(9.0),
        toward: Angle::degrees(4.0),
        scale: 3.35,
        lens: 0.75,
        shadow: (Point::new(50.0, -45.0), 0.2),
        cast: None,
        noise: 0.0,
    };
    let pixels = scene.picture();
    let rgb: Vec<u8> =
        pixels.as_chunks::<4>().0.iter().flat_map(|&[r, g, b, _]| [r, g, b]).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, CRAB_SIZE.0, CRAB_SIZE.1);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().expect("a size");
    writer.write_image_data(&rgb).expect("as many pixels as told");
    writer.finish().expect("written");
    bytes
}

#[test]
fn the_crab_shell_is_traced_from_its_photograph() {
    let bytes = kept("crab-shell.png", &crab_shell());
    assert!(bytes.len() < 300_000, "{} bytes", bytes.len());
    let mut reader = png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().expect("a PNG");
    let mut rgb = vec![0; reader.output_buffer_size().expect("small")];
    reader.next_frame(&mut rgb).expect("a picture");
    let rgba: Vec<u8> =
        rgb.as_chunks::<3>().0.iter().flat_map(|&[r, g, b]| [r, g, b, 255]).collect();
    let picture = Picture::new(CRAB_SIZE.0, CRAB_SIZE.1, &rgba).expect("a picture");
    let found = find_paper(&picture).expect("paper");
    let traced =
        trace(&picture, Paper::A4, found.corners, &TraceSettings::default()).expect("traced");
    assert_eq!(traced.problems, []);
    let [outline] = &traced.outlines[..] else { panic!("{} outlines", traced.outlines.len()) };
    assert_near!(outline.region.area().to_mm2(), CRAB.area(), 0.01 * CRAB.area());
}
