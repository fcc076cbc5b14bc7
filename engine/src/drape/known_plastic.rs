//! Plastic is thickness times surface after every single step, and no thickness can be wrong without being seen.

use std::ops::ControlFlow;

use super::ground::Ground;
use super::measure::{Formed, kept, triangles};
use super::net::{Net, Triangle};
use super::press::{Load, Press};
use super::run::{Job, formed};
use super::vector::{Vec3, cross, length, sub};
use super::{Mode, Progress, rubber};
use crate::geometry::{Point, Rect};
use crate::units::Length;

/// The side of a square opening, in millimetres.
const SIDE: f64 = 60.0;

fn opening() -> Rect {
    Rect::new(Point::ORIGIN, Point::new(SIDE, SIDE))
}

/// The height of the ground at a place.
type Heights = fn(Point) -> f64;

/// How far a place is from the middle, the longer way.
fn off(place: Point) -> f64 {
    (place.x - SIDE / 2.0).abs().max((place.y - SIDE / 2.0).abs())
}

/// An upright block 15 mm high.
fn block(place: Point) -> f64 {
    if off(place) <= 10.5 { 15.0 } else { 0.0 }
}

/// An upright cavity 15 mm deep.
fn cavity(place: Point) -> f64 {
    if off(place) <= 18.0 { 0.0 } else { 15.0 }
}

#[test]
fn plastic_is_thickness_times_surface_after_every_single_step() {
    let forms: [(&str, Heights, f64); 2] = [("block", block, 0.0), ("cavity", cavity, 15.0)];
    for (what, height, rests_at) in forms {
        for (mode, sag, friction) in [
            (Mode::Rubber, 0.0, None),
            (Mode::Rubber, 6.0, Some(0.3)),
            (Mode::Uniform, 0.0, None),
            (Mode::Uniform, 6.0, None),
        ] {
            let opening = opening();
            let ground = Ground::shaped(opening, Length::mm(0.5), height);
            let (vacuum, patience, telling) = (0.4, 1.0, 1);
            let (ground, levels) = (&ground, 2);
            let job = Job {
                ground,
                opening,
                rests_at,
                mode,
                friction,
                sag,
                patience,
                vacuum,
                levels,
                telling,
            };
            let mut told = 0;
            let mut watch = |progress: &Progress| {
                told += 1;
                let plastic = progress.plastic;
                assert!((plastic - 1.0).abs() < 1e-3, "{what} {mode:?} {told}: {plastic}");
                ControlFlow::Continue(())
            };
            let press = formed(Net::new(opening, 3.0, &[]), &job, &mut watch).unwrap();
            // After each step, and once when all are done.
            assert_eq!(told, press.steps + 1, "{what} {mode:?}");
            assert!(press.net.triangles.len() > 2 * 20 * 20, "{what} {mode:?}: nothing was split");
        }
    }
}

/// A film that has not yet parted has one thickness, and it is that of the plastic which has not landed.
#[test]
fn a_free_piece_of_film_is_equally_thick_and_holds_what_has_not_landed() {
    let opening = opening();
    let ground = Ground::shaped(opening, Length::mm(0.5), block);
    let mut press = Press::new(Net::new(opening, 3.0, &[]), &ground, Mode::Uniform, 15.0);
    press.land();
    let frame = -15.0 / 240.0;
    for step in 0..240 {
        press.step(&Load { frame, ..Load::NONE });
        // Plastic flows every eighth step.
        if step % 8 != 7 {
            continue;
        }
        let all = triangles(&press);
        let is_free = |nodes: [u32; 3]| nodes.iter().any(|node| !press.is_stuck[*node as usize]);
        let (free, landed): (Vec<Formed>, Vec<Formed>) =
            all.into_iter().partition(|one| is_free(one.nodes));
        let landed: f64 = landed.iter().map(|one| one.thickness * one.area).sum();
        let surface: f64 = free.iter().map(|one| one.area).sum();
        let thickness = (SIDE * SIDE - landed) / surface;
        for one in free {
            let off = one.thickness / thickness - 1.0;
            assert!(off.abs() < 1e-6, "step {step}: {} and {thickness}", one.thickness);
        }
    }
    // Sums over the sheet are of parts rounded to 2^-20.
    assert!((kept(&press) / (SIDE * SIDE) - 1.0).abs() < 1e-6, "{}", kept(&press) / (SIDE * SIDE));
}

/// What sticks where it lands stays there from the step on that it lands in.
#[test]
fn what_has_landed_stays_where_it_landed() {
    let opening = opening();
    let ground = Ground::shaped(opening, Length::mm(0.5), block);
    let lower = Load { frame: -15.0 / 240.0, ..Load::NONE };
    let draw = Load { frame: 0.0, target: f64::MIN, yielding: 1.0, most: 0.2 };
    for mode in [Mode::Rubber, Mode::Uniform] {
        let mut press = Press::new(Net::new(opening, 3.0, &[]), &ground, mode, 15.0);
        press.land();
        for step in 0..480 {
            let (places, is_stuck) = (press.places.clone(), press.is_stuck.clone());
            press.step(if step < 240 { &lower } else { &draw });
            for node in (0..places.len()).filter(|node| is_stuck[*node]) {
                let has_moved = length(sub(press.places[node], places[node])) > 0.0;
                assert!(!has_moved || press.net.is_clamped[node], "{mode:?} {step}: node {node}");
            }
        }
        let landed = press.is_stuck.iter().filter(|is_stuck| **is_stuck).count();
        assert!(landed > 300, "{mode:?}: {landed}");
    }
}

/// Stretched, folded, slack, turned over, pressed to a line and to a point.
#[test]
fn thickness_times_surface_is_a_triangle_s_plastic_however_it_lies() {
    let rest = |[a, b]: [Vec3; 2]| {
        let mut triangle = Triangle { nodes: [0, 1, 2], rest: [0.0; 4], plastic: 0.0 };
        triangle.rest_at([a, b]);
        triangle.plastic = 0.7 * 0.5 * length(cross(a, b));
        triangle
    };
    let triangle = rest([[2.0, 0.0, 0.0], [0.3, 1.5, 0.0]]);
    for sides in [
        [[2.0, 0.0, 0.0], [0.3, 1.5, 0.0]],
        [[3.0, 0.0, 1.0], [0.3, 2.5, -1.0]],
        [[6.0, 0.0, 0.0], [0.9, 0.4, 0.2]],
        [[6.0, 0.0, 0.0], [0.9, 0.004, 0.0]],
        [[6.0, 0.0, 0.0], [0.9, 0.0, 0.0]],
        [[6.0, 0.0, 0.0], [0.9, -0.4, 0.0]],
        [[1.0, 0.0, 0.0], [0.1, 0.5, 0.0]],
        [[1.0, 0.0, 0.0], [0.1, 0.0, 0.0]],
        [[0.0; 3], [0.0; 3]],
    ] {
        let state = rubber::state(&triangle, sides);
        let found = state.thickness * rubber::unfolded(&triangle, sides, state.surplus);
        let off = found / triangle.plastic - 1.0;
        assert!(off.abs() < 1e-3, "{sides:?}: {off:+} {state:?}");
    }
}
