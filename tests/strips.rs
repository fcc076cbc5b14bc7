//! Our own strips: made by the cutter of the puzzles, kept in `data/strips`, packed by the headless program.
//!
//! `UPDATE=1` writes them. Each was a whole strip once, so that a layout of known length exists; the cut is random, so
//! nobody has laid them out by hand.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use engine::geometry::{Point, Pose, Region, Ring, Shape, is_overlapping, offset, tolerance};
use engine::search::{Packed, read_strip};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;
use program::{json, run};
use puzzle::strip_pieces;
use serde_json::Value;
use strip_check::verify;

mod program;
#[allow(dead_code, reason = "shared with the benchmarks, and nobody needs all of it")]
#[path = "../engine/benches/puzzle/mod.rs"]
mod puzzle;
#[path = "../engine/examples/headless/strip_check.rs"]
mod strip_check;

/// Pieces, the seed of the cut, and the share of the strip that a packing of `STEPS` steps has to cover.
const STRIPS: [(u32, u64, f64); 3] = [(12, 1, 0.72), (25, 1, 0.635), (48, 1, 0.62)];
/// The height of each strip in millimetres.
const HEIGHT: f64 = 400.0;
/// The length of the strip for each piece, so that pieces are as large in all three.
const LENGTH_A_PIECE: f64 = 30.0;
/// How much of its hole each piece fills; what fits without play is found by no search.
const SHARE: f64 = 0.97;
/// Steps of a packing.
const STEPS: &str = "6000000";

fn path(n: u32) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("data/strips/cut_{n}.json"))
}

fn kept(n: u32) -> String {
    fs::read_to_string(path(n)).expect("a strip; make it with UPDATE=1")
}

/// The length of the strip that was cut, and of the one that its pieces are known to lie in.
fn lengths(n: u32) -> [f64; 2] {
    let whole = LENGTH_A_PIECE * f64::from(n);
    [whole, whole * SHARE.sqrt()]
}

/// A strip in the documented form, one item a line, corners to a micrometre.
fn made(n: u32, seed: u64) -> String {
    let [whole, known] = lengths(n);
    let pieces = strip_pieces(n as usize, [whole, HEIGHT], SHARE, seed);
    let mut text = format!(
        "{{\n  \"name\": \"cut_{n}\",\n  \"source\": \"cut by the puzzles of Onepull, seed {seed}; each piece fills \
         {SHARE} of its hole\",\n  \"strip_height\": {HEIGHT},\n  \"best_known_length\": {known:.3},\n  \"items\": ["
    );
    for (k, ring) in pieces.iter().enumerate() {
        let corners: Vec<String> =
            ring.points().iter().map(|p| format!("[{}, {}]", typed(p.x), typed(p.y))).collect();
        let comma = if k == 0 { "" } else { "," };
        let corners = corners.join(", ");
        write!(text, "{comma}\n    {{\"rotations\": [0, 90, 180, 270], \"polygon\": [{corners}]}}")
            .expect("a text takes all");
    }
    text + "\n  ]\n}\n"
}

fn typed(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3
}

#[test]
fn the_strips_kept_are_those_the_cutter_makes_and_a_layout_of_each_is_known() {
    for (n, seed, _) in STRIPS {
        let made = made(n, seed);
        if std::env::var_os("UPDATE").is_some() {
            fs::create_dir_all(path(n).parent().expect("a folder")).expect("a folder");
            fs::write(path(n), &made).expect("writes");
        }
        assert!(kept(n) == made, "cut_{n}.json is out of date; run with UPDATE=1 and look at it");
        let (strip, scale) = read_strip(&made).expect("the documented form");
        assert_eq!(strip.items.iter().map(|item| item.count).sum::<usize>(), n as usize);
        let [whole, known] = lengths(n);
        // Nothing was lost in cutting: what a strip of the known length is covered by is the root of the share.
        assert_near!(strip.density(Length::mm(whole * scale)), SHARE, 1e-5);
        assert_near!(strip.density(Length::mm(known * scale)), SHARE.sqrt(), 1e-5);
        let is_concave = |shape: &Shape| {
            Ring::new(shape.hull().to_vec()).signed_area() > 1.02 * shape.area().to_mm2()
        };
        let n_concave = strip.items.iter().filter(|item| is_concave(&item.shape)).count();
        assert!(2 * n_concave > n as usize, "{n_concave} of {n} are concave");
    }
}

#[test]
fn our_own_strips_are_packed_densely_and_what_is_printed_does_not_overlap() {
    for (n, _, least) in STRIPS {
        let file = path(n);
        let said = run(&["strip", file.to_str().expect("text"), "--steps", STEPS], b"");
        assert_eq!(said.status, 0, "{}", said.message);
        let mut printed = json(&said);
        let density = printed["density"].as_f64().expect("a density");
        assert!(density >= least, "cut_{n}: {density}, and {least} are held");
        let length = printed["length"].as_f64().expect("a length");
        assert_near!(density * length, SHARE * lengths(n)[0], 1e-2);
        let strip: Value = serde_json::from_str(&kept(n)).expect("JSON");
        assert_eq!(faults(&strip, &printed), Vec::<String>::new(), "cut_{n}");
        // The same look at a layout in which one piece was pushed aside finds it.
        let x = printed["placements"][0]["x"].as_f64().expect("a number");
        printed["placements"][0]["x"] = (x + 20.0).into();
        assert_ne!(faults(&strip, &printed), Vec::<String>::new(), "cut_{n}");
    }
}

/// What is wrong with a printed layout, each piece built anew from the file by the documented rule: turned about its
/// origin, then moved.
fn faults(strip: &Value, printed: &Value) -> Vec<String> {
    /// How far two pieces are drawn in before they must be apart, in millimetres; they may overlap by a millionth of the
    /// height, which is less than half of a thousandth.
    const DRAWN_IN: f64 = 1e-3;
    let number = |value: &Value| value.as_f64().expect("a number");
    let list = |value: &Value| value.as_array().expect("a list").clone();
    let placements = list(&printed["placements"]);
    let length = number(&printed["length"]);
    let pieces: Vec<(Shape, Pose)> = placements
        .iter()
        .map(|placement| {
            let item = usize::try_from(placement["item"].as_u64().expect("a number")).expect("few");
            let corners = list(&strip["items"][item]["polygon"]);
            let corner = |at: &Value| Point::new(number(&at[0]), number(&at[1]));
            let ring = Ring::new(corners.iter().map(corner).collect());
            let at = Point::new(number(&placement["x"]), number(&placement["y"]));
            let pose = Pose::new(at, Angle::degrees(number(&placement["rotation"])));
            (Shape::new(Region::new(ring, vec![])), pose)
        })
        .collect();
    let mut found = Vec::new();
    if pieces.len() != list(&strip["items"]).len() {
        found.push(format!("{} pieces", pieces.len()));
    }
    let is_in = |p: &Point| {
        (-DRAWN_IN..=length + DRAWN_IN).contains(&p.x)
            && (-DRAWN_IN..=HEIGHT + DRAWN_IN).contains(&p.y)
    };
    let drawn_in: Vec<Shape> = pieces
        .iter()
        .map(|(shape, _)| {
            let within = offset(shape.region(), Length::mm(-DRAWN_IN), tolerance::MEASURE);
            Shape::new(within.into_iter().next().expect("a piece is thicker"))
        })
        .collect();
    for (i, (shape, pose)) in pieces.iter().enumerate() {
        if !shape.region().placed(*pose).outer.points().iter().all(is_in) {
            found.push(format!("{i} reaches out"));
        }
        let overlapping =
            (0..i).filter(|&j| is_overlapping(&drawn_in[i], *pose, &drawn_in[j], pieces[j].1));
        found.extend(overlapping.map(|j| format!("{j} and {i} overlap")));
    }
    found
}

#[test]
fn a_packing_by_the_clock_ends_and_says_when_it_found_its_best() {
    let file = path(12);
    let said = run(&["strip", file.to_str().expect("text"), "--seconds", "1"], b"");
    assert_eq!(said.status, 0, "{}", said.message);
    let printed = json(&said);
    assert!(printed["seconds_to_best"].as_f64().is_some_and(|at| at >= 0.0), "{printed}");
    assert_eq!(printed["placements"].as_array().map(Vec::len), Some(12));
}

#[test]
fn the_look_before_printing_refuses_squares_that_overlap_or_reach_out() {
    let squares = r#"{"strip_height": 2, "items": [
        {"count": 2, "polygon": [[0, 0], [1, 0], [1, 1], [0, 1]]}]}"#;
    let (strip, scale) = read_strip(squares).expect("a strip");
    let verified = |second: [f64; 2]| {
        let pose = |[x, y]: [f64; 2]| Pose::new(Point::new(x * scale, y * scale), Angle::ZERO);
        let poses = vec![pose([0.0, 0.0]), pose(second)];
        verify(&strip, &Packed { length: Length::mm(2.0 * scale), poses, steps: 0 })
    };
    assert_eq!(verified([1.0, 0.0]), Ok(()));
    assert_eq!(verified([0.2, 1.0]), Ok(()));
    for over in [[0.999, 0.0], [0.0, 0.0], [0.5, 0.5]] {
        let refused = verified(over).expect_err("they overlap");
        assert!(refused.starts_with("pieces 0 and 1 overlap by "), "{refused}");
    }
    for out in [[1.001, 0.0], [1.0, 1.001], [1.0, -0.001]] {
        let refused = verified(out).expect_err("it reaches out");
        assert!(refused.starts_with("piece 1 reaches out of the strip"), "{refused}");
    }
}
