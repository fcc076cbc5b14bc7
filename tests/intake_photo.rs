//! Photographs rendered here through a known pinhole camera: molds of known outline are traced to a millimetre.
//!
//! The renderer shares nothing with the tracer: it sends a ray through every point of the picture and asks what it
//! meets. Areas and distances are closed forms, named where they stand.

#![expect(clippy::print_stdout, reason = "measured figures, shown with --nocapture")]

use std::f64::consts::PI;

use engine::geometry::{Point, Vec2};
use engine::intake::photo::{
    Card, CardError, Paper, Picture, TraceSettings, Traced, find_card, find_paper, parallax,
    parallax_warning, trace,
};
use engine::intake::{Place, Problem, Trouble};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;
use onepull_tests::photo_scene::{Mold, Pencil, Scene, USUAL};

/// How many times the error that is told an outline may be off at its worst.
const TOLD: f64 = 1.5;

/// Traces the mold and compares: area within a hundredth, no corner or middle of a side a millimetre off.
#[track_caller]
fn check(name: &str, paper: Paper, scene: &Scene) {
    let rgba = scene.picture();
    let picture = Picture::new(USUAL.0, USUAL.1, &rgba).expect("a picture");
    let found = find_paper(&picture).unwrap_or_else(|error| panic!("{name}: {error}"));
    let ring = engine::geometry::Ring::new(found.corners.to_vec());
    assert!(ring.signed_area() >= 0.5 * 12e6, "{name}: {} pixels of paper", ring.signed_area());
    let settings = TraceSettings { stray: Some(found.stray), ..TraceSettings::default() };
    let traced = trace(&picture, paper, found.corners, &settings);
    let traced = traced.unwrap_or_else(|error| panic!("{name}: {error}"));
    let far = scene.far();
    assert_near!(traced.camera_height.to_mm(), far, 0.05 * far, "{name}: camera height");
    camera_is_right(name, scene, &traced);
    let [outline] = &traced.outlines[..] else {
        panic!("{name}: {} outlines, {:?}", traced.outlines.len(), traced.problems)
    };
    let share = outline.region.area().to_mm2() / scene.mold.area();
    assert_near!(share, 1.0, 0.01, "{name}: area as a share");
    // The paper may be seen turned by a quarter or a half; the molds are placed so that one of four turns fits.
    let around = outline.region.bounds().expect("corners");
    let (w, d) = if around.center().x > around.center().y {
        (scene.half.0.max(scene.half.1), scene.half.0.min(scene.half.1))
    } else {
        (scene.half.0.min(scene.half.1), scene.half.0.max(scene.half.1))
    };
    let worst = [0.0, 90.0, 180.0, 270.0].map(|degrees| {
        let (sin, cos) = Angle::degrees(degrees).sin_cos();
        let sides = outline.region.outer.sides();
        let places = sides.flat_map(|(a, b)| [a, a.midpoint(b)]);
        let off = places.map(|p| {
            let (x, y) = (p.x - w, p.y - d);
            scene.mold.outside(Point::new(x * cos - y * sin, x * sin + y * cos)).abs()
        });
        off.fold(0.0, f64::max)
    });
    let worst = worst.into_iter().fold(f64::INFINITY, f64::min);
    assert!(worst < 1.0, "{name}: {worst} mm off");
    let told = traced.expected_error.to_mm();
    println!("{name}: outline {worst:.2} mm, told {told:.2} mm");
    assert!(worst < TOLD * told, "{name}: {worst} mm, told {:?}", traced.expected_error);
}

/// The camera stands where it was put: measured at a slant, within the range of usual lenses from straight above.
#[track_caller]
fn camera_is_right(name: &str, scene: &Scene, traced: &Traced) {
    let high = scene.far() * scene.tilt.cos();
    let (least, most) = traced.camera.height;
    let (least, most) = (least.to_mm(), most.to_mm());
    println!("{name}: camera {least:.0} to {most:.0} mm high, truly {high:.0}");
    if scene.tilt > Angle::degrees(12.0) {
        assert_near!(least, high, 0.03 * high, "{name}: measured height");
        assert_near!(most - least, 0.0, 0.0, "{name}: measured height");
    } else {
        assert!(least < high && high < most && most < 3.0 * least, "{name}: {least} to {most}");
    }
}

const LIMPET: Mold = Mold::Lobed { size: 60.0, a: 0.18, b: 0.12 };
const CLAM: Mold = Mold::Rounded { half: (70.0, 40.0), radius: 22.0 };

#[test]
fn a_limpet_seen_from_straight_above() {
    let scene = Scene {
        size: USUAL,
        card: None,
        half: (148.5, 105.0),
        mold: LIMPET,
        hole: None,
        line: None,
        color: [70.0, 95.0, 80.0],
        tilt: Angle::ZERO,
        toward: Angle::degrees(3.0),
        scale: 11.0,
        lens: 0.75,
        shadow: (Point::new(55.0, -45.0), 0.25),
        cast: None,
        noise: 8.0,
    };
    check("straight", Paper::A4, &scene);
}

#[test]
fn a_clam_seen_at_twenty_five_degrees() {
    let scene = Scene {
        size: USUAL,
        card: None,
        half: (148.5, 105.0),
        mold: CLAM,
        hole: None,
        line: None,
        color: [150.0, 70.0, 60.0],
        tilt: Angle::degrees(25.0),
        toward: Angle::ZERO,
        scale: 11.3,
        lens: 0.75,
        shadow: (Point::new(-70.0, 35.0), 0.3),
        cast: None,
        noise: 10.0,
    };
    check("leaning", Paper::A4, &scene);
}

#[test]
fn a_limpet_on_letter_paper_seen_from_a_corner() {
    let scene = Scene {
        size: USUAL,
        card: None,
        half: (139.7, 107.95),
        mold: LIMPET,
        hole: None,
        line: None,
        color: [60.0, 60.0, 70.0],
        tilt: Angle::degrees(18.0),
        toward: Angle::degrees(-7.0),
        scale: 11.2,
        lens: 0.75,
        shadow: (Point::new(20.0, 75.0), 0.2),
        cast: None,
        noise: 12.0,
    };
    check("turned", Paper::Letter, &scene);
}

#[test]
fn a_mold_that_stands_up_shows_larger_as_the_parallax_says() {
    // A top edge 40 mm up, seen from 400 mm: central projection makes 100 mm look like 111.1.
    let shift = parallax(Length::mm(40.0), Length::mm(100.0), Length::mm(400.0));
    assert_near!(shift.to_mm(), 100.0 / 0.9 - 100.0, 1e-9);
}

/// Finds the card, traces the mold on it and compares both with the scene; the outlines stand as the card does.
#[track_caller]
fn check_card(name: &str, scene: &Scene) {
    let card = scene.card.expect("a card in the scene");
    let rgba = scene.picture();
    let picture = Picture::new(scene.size.0, scene.size.1, &rgba).expect("a picture");
    let found = find_card(&picture).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(found.card, card, "{name}");
    let truly = card
        .marks()
        .map(|mark| scene.in_picture(mark.middle - Vec2::new(scene.half.0, scene.half.1)));
    let off = (0..4).map(|k| found.corners[k].distance(truly[k])).fold(0.0, f64::max);
    let settings = TraceSettings { masks: found.masks(), ..TraceSettings::default() };
    let traced = trace(&picture, found.paper(), found.corners, &settings);
    let traced = traced.unwrap_or_else(|error| panic!("{name}: {error}"));
    camera_is_right(name, scene, &traced);
    let [outline] = &traced.outlines[..] else {
        panic!("{name}: {} outlines, {:?}", traced.outlines.len(), traced.problems)
    };
    let share = outline.region.area().to_mm2() / scene.mold.area();
    let middle = Vec2::new(card.apart().0.to_mm() / 2.0, card.apart().1.to_mm() / 2.0);
    let sides = outline.region.outer.sides();
    let places = sides.flat_map(|(a, b)| [a, a.midpoint(b)]);
    let worst = places.map(|p| scene.mold.outside(p - middle).abs()).fold(0.0, f64::max);
    println!(
        "{name}: marks {off:.3} px off, stray {:.3} px; area {:.2} % off, outline {worst:.2} mm",
        found.stray,
        100.0 * (share - 1.0)
    );
    assert!(off < 0.25 && found.stray < 0.25, "{name}: {off} pixels, {found:?}");
    assert_near!(share, 1.0, 0.005, "{name}: area as a share");
    assert!(worst < 0.6, "{name}: {worst} mm off");
}

fn card_scene(card: Card, half: (f64, f64)) -> Scene {
    Scene {
        size: USUAL,
        card: Some(card),
        half,
        mold: LIMPET,
        hole: None,
        line: None,
        color: [150.0, 70.0, 60.0],
        tilt: Angle::degrees(22.0),
        toward: Angle::degrees(94.0),
        scale: 10.6,
        lens: 0.75,
        shadow: (Point::new(-60.0, 90.0), 0.25),
        cast: None,
        noise: 10.0,
    }
}

#[test]
fn a_card_is_found_at_a_slant_and_tells_its_turn() {
    check_card("A4 card", &card_scene(Card::A4, (105.0, 148.5)));
    let upside_down = Scene {
        tilt: Angle::degrees(8.0),
        toward: Angle::degrees(-83.0),
        mold: CLAM,
        color: [70.0, 95.0, 80.0],
        ..card_scene(Card::Letter, (107.95, 139.7))
    };
    check_card("Letter card, the other way", &upside_down);
}

#[test]
fn a_card_is_found_in_a_small_picture_and_beyond_its_edges() {
    let small = Scene { size: (1600, 1200), scale: 4.1, ..card_scene(Card::A4, (105.0, 148.5)) };
    check_card("small picture", &small);
    let close = Scene {
        tilt: Angle::degrees(3.0),
        toward: Angle::degrees(90.0),
        scale: 13.5,
        ..card_scene(Card::Letter, (107.95, 139.7))
    };
    check_card("paper beyond the picture", &close);
}

#[test]
fn a_mirrored_card_and_plain_paper_are_refused_in_words() {
    let scene = Scene {
        size: (1200, 900),
        scale: 3.0,
        tilt: Angle::degrees(5.0),
        ..card_scene(Card::A4, (105.0, 148.5))
    };
    let rgba = scene.picture();
    let mirrored: Vec<u8> = rgba
        .chunks(4 * 1200)
        .flat_map(|row| row.as_chunks::<4>().0.iter().rev())
        .flatten()
        .copied()
        .collect();
    let picture = Picture::new(1200, 900, &mirrored).expect("a picture");
    assert_eq!(find_card(&picture), Err(CardError::Mirrored));
    let plain = Scene { card: None, ..scene }.picture();
    let picture = Picture::new(1200, 900, &plain).expect("a picture");
    assert_eq!(find_card(&picture), Err(CardError::TooFew { n: 0 }));
}

#[test]
fn a_tall_mold_is_warned_of_and_a_flat_one_is_not() {
    let scene = Scene { size: (1600, 1200), scale: 4.3, ..card_scene(Card::A4, (105.0, 148.5)) };
    let rgba = scene.picture();
    let picture = Picture::new(1600, 1200, &rgba).expect("a picture");
    let found = find_card(&picture).expect("a card");
    let settings = TraceSettings { masks: found.masks(), ..TraceSettings::default() };
    let traced = trace(&picture, found.paper(), found.corners, &settings).expect("traces");
    assert_eq!(parallax_warning(&traced, Length::mm(0.3)), None);
    let warning = parallax_warning(&traced, Length::mm(40.0)).expect("a warning");
    println!("{warning}");
    // The farthest place of the outline from the place below the camera, by the scene's own figures.
    let (sin, cos) = (scene.tilt.sin(), scene.tilt.cos());
    let below = Vec2::unit(scene.toward - Angle::degrees(90.0)) * (scene.far() * sin);
    let degrees = (0..720_u32).map(|k| Angle::degrees(f64::from(k) / 2.0));
    let rim = degrees.map(|turn| {
        let cos = turn.cos();
        let (double, triple) = (2.0 * cos * cos - 1.0, (4.0 * cos * cos - 3.0) * cos);
        Point::ORIGIN + Vec2::unit(turn) * (60.0 * (1.0 + 0.18 * double + 0.12 * triple))
    });
    let reach = rim.map(|p| p.distance(Point::ORIGIN + below)).fold(0.0, f64::max);
    let high = scene.far() * cos;
    let want = reach * high / (high - 40.0) - reach;
    assert_near!(warning.shift.1.to_mm(), want, 0.03 * want);
    assert!(warning.to_string().contains("trace the base"), "{warning}");
}

/// A pencil line round a mold on A4, in a picture of four million pixels, as faint or dark as `color`.
fn drawing(width: f64, color: f64, tilt: Angle) -> Scene {
    Scene {
        size: (2400, 1800),
        card: None,
        half: (148.5, 105.0),
        mold: LIMPET,
        hole: None,
        line: Some(Pencil { width, gap: Angle::ZERO }),
        color: [color; 3],
        tilt,
        toward: Angle::ZERO,
        scale: 6.7,
        lens: 0.75,
        shadow: (Point::new(-80.0, 60.0), 0.08),
        cast: None,
        noise: 6.0,
    }
}

/// What is traced on A4 in this scene.
#[track_caller]
fn traced(name: &str, scene: &Scene) -> Traced {
    let rgba = scene.picture();
    let picture = Picture::new(scene.size.0, scene.size.1, &rgba).expect("a picture");
    let found = find_paper(&picture).unwrap_or_else(|error| panic!("{name}: {error}"));
    let settings = TraceSettings { stray: Some(found.stray), ..TraceSettings::default() };
    let traced = trace(&picture, Paper::A4, found.corners, &settings);
    traced.unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The farthest that a corner or the middle of a side of an outline on an upright scene of A4 lies from the mold's edge.
fn worst(ring: &engine::geometry::Ring, outside: impl Fn(Point) -> f64) -> f64 {
    let places = ring.sides().flat_map(|(a, b)| [a, a.midpoint(b)]);
    places.map(|p| outside(p - Vec2::new(148.5, 105.0)).abs()).fold(0.0, f64::max)
}

#[test]
fn a_pencil_line_stands_for_the_mold_that_it_was_drawn_round() {
    for width in [0.5, 0.9] {
        for color in [165.0, 60.0] {
            for tilt in [0.0, 25.0] {
                let name = format!("{width} mm of {color} at {tilt} degrees");
                let traced = traced(&name, &drawing(width, color, Angle::degrees(tilt)));
                let [outline] = &traced.outlines[..] else {
                    panic!("{name}: {:?}, {:?}", traced.outlines.len(), traced.problems)
                };
                let share = outline.region.area().to_mm2() / LIMPET.area();
                let worst = worst(&outline.region.outer, |p| LIMPET.outside(p));
                println!("{name}: area {:.2} % off, outline {worst:.2} mm", 100.0 * (share - 1.0));
                assert_near!(share, 1.0, 0.01, "{name}: area as a share");
                assert!(worst < 1.0, "{name}: {worst} mm off");
                assert_eq!(outline.region.holes.len(), 0, "{name}");
                let is_told = |p: &Problem| matches!(p.trouble, Trouble::DrawnLine { width: told } if (told.to_mm() - width).abs() < 0.3);
                assert!(traced.problems.iter().any(is_told), "{name}: {:?}", traced.problems);
            }
        }
    }
}

#[test]
fn a_line_drawn_within_a_line_is_a_hole_and_an_open_one_is_told() {
    let scene = Scene { hole: Some(18.0), ..drawing(0.7, 90.0, Angle::degrees(10.0)) };
    let drawn = traced("drawn hole", &scene);
    let [outline] = &drawn.outlines[..] else { panic!("{:?}", drawn.problems) };
    let exact = LIMPET.area() - PI * 18.0 * 18.0;
    assert_near!(outline.region.area().to_mm2() / exact, 1.0, 0.01);
    let [hole] = &outline.region.holes[..] else { panic!("{:?}", drawn.problems) };
    assert!(worst(hole, |p| 18.0 - p.distance(Point::ORIGIN)) < 1.0);
    let line = Some(Pencil { width: 0.7, gap: Angle::degrees(3.0) });
    let open = traced("open", &Scene { line, hole: None, ..scene });
    assert!(open.outlines.is_empty(), "{:?}", open.outlines);
    let told = open.problems.iter().find_map(|p| match p.trouble {
        Trouble::OpenLine { long, .. } => Some((p.at.clone(), long.to_mm())),
        _ => None,
    });
    let (at, long) = told.unwrap_or_else(|| panic!("{:?}", open.problems));
    // The mold's edge is somewhat longer than a circle of its mean radius, 377 mm.
    assert!((370.0..440.0).contains(&long), "{long} mm");
    assert!(matches!(at, Place::Paper { across: 130..170, up: 90..120 }), "{at}");
}

#[test]
fn a_hole_through_a_mold_stays_a_hole() {
    let scene = Scene { line: None, hole: Some(20.0), ..drawing(0.7, 90.0, Angle::degrees(15.0)) };
    let traced = traced("hole", &scene);
    let [outline] = &traced.outlines[..] else { panic!("{:?}", traced.problems) };
    let exact = LIMPET.area() - PI * 20.0 * 20.0;
    assert_near!(outline.region.area().to_mm2() / exact, 1.0, 0.01);
    let [hole] = &outline.region.holes[..] else { panic!("{outline:?}") };
    assert!(worst(hole, |p| p.distance(Point::ORIGIN) - 20.0) < 1.0);
    assert!(!traced.problems.iter().any(|p| matches!(p.trouble, Trouble::DrawnLine { .. })));
}

/// The area as a share, how far the outline is off at its worst, and what was told of that; whichever way up it came.
#[track_caller]
fn measured(name: &str, scene: &Scene) -> (f64, f64, f64) {
    let traced = traced(name, scene);
    let [outline] = &traced.outlines[..] else {
        panic!("{name}: {} outlines, {:?}", traced.outlines.len(), traced.problems)
    };
    let share = outline.region.area().to_mm2() / scene.mold.area();
    let turns = [0.0, 90.0, 180.0, 270.0].map(Angle::degrees);
    let ways = [(148.5, 105.0), (105.0, 148.5)];
    let off = |turn: Angle, (w, d): (f64, f64)| {
        let (sin, cos) = turn.sin_cos();
        let places = outline.region.outer.sides().flat_map(|(a, b)| [a, a.midpoint(b)]);
        let off = places.map(|p| {
            let (x, y) = (p.x - w, p.y - d);
            scene.mold.outside(Point::new(x * cos - y * sin, x * sin + y * cos)).abs()
        });
        off.fold(0.0, f64::max)
    };
    let all = turns.iter().flat_map(|turn| ways.map(|way| off(*turn, way)));
    (share, all.fold(f64::INFINITY, f64::min), traced.expected_error.to_mm())
}

#[test]
fn every_lean_and_every_direction_of_a_small_picture_holds_the_same_bounds() {
    let base = Scene {
        size: (1600, 1200),
        line: None,
        color: [90.0, 80.0, 95.0],
        scale: 2.6,
        shadow: (Point::new(60.0, -50.0), 0.25),
        ..drawing(0.0, 0.0, Angle::ZERO)
    };
    let mut scenes = Vec::new();
    for tilt in [0.0, 8.0, 15.0, 20.0, 25.0] {
        for toward in [0.0, 45.0, 90.0, 200.0] {
            let [tilt, toward] = [tilt, toward].map(Angle::degrees);
            scenes.push((format!("{tilt:?} towards {toward:?}"), Scene { tilt, toward, ..base }));
        }
    }
    for lens in [0.55, 1.4] {
        let (tilt, toward) = (Angle::degrees(18.0), Angle::degrees(30.0));
        scenes.push((format!("a lens of {lens}"), Scene { lens, tilt, toward, ..base }));
    }
    let cast = Some((Point::new(9.0, -6.0), 0.25));
    // The soft shadow lies on the other side: both in one place are as dark as half a mold.
    let (tilt, shadow) = (Angle::degrees(12.0), (Point::new(-60.0, 50.0), 0.25));
    let touched = Scene { cast, tilt, shadow, ..base };
    scenes.push(("a hard shadow that touches it".to_owned(), touched));
    let (mut worst_share, mut worst_off, mut worst_told) = (0.0_f64, 0.0_f64, 0.0_f64);
    for (name, scene) in &scenes {
        let (share, off, told) = measured(name, scene);
        assert_near!(share, 1.0, 0.01, "{name}: area as a share");
        assert!(off < 1.0, "{name}: {off} mm off");
        worst_share = worst_share.max((share - 1.0).abs());
        worst_off = worst_off.max(off);
        worst_told = worst_told.max(off / told);
    }
    println!(
        "{} scenes: area at most {:.2} % off, outline {worst_off:.2} mm, {worst_told:.2} times what is told",
        scenes.len(),
        100.0 * worst_share
    );
    assert!(worst_told < TOLD, "{worst_told} times what is told");
}
