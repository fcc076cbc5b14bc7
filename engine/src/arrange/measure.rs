//! How a layout does by each of the four aims, in figures a maker knows.

use super::Measures;
use super::scene::Scene;
use crate::geometry::{Pose, Shape, Vec2, extent, gap, gap_within};
use crate::units::{Angle, Length};

/// How the bodies do at these poses. Cost: a distance for every pair.
pub(super) fn measures(scene: &Scene<'_>, poses: &[Pose]) -> Measures {
    Measures {
        spare: Length::mm(spare(scene, poses)),
        tall_from_middle: Length::mm(tall_from_middle(scene, poses)),
        out_of_square: Angle::radians(out_of_square(scene, poses)),
        facing: facing(scene, poses),
    }
}

/// The smallest gap above the rule in millimetres: between two bodies of which one may be moved, and between those
/// that may be moved and the edges they keep. Infinite when there is none.
pub(super) fn spare(scene: &Scene<'_>, poses: &[Pose]) -> f64 {
    let mut least = edge_spare(scene, poses);
    for (i, j) in pairs(scene) {
        let (a, b) = (&scene.bodies[i].shape, &scene.bodies[j].shape);
        let asked = scene.distance(i, j);
        let reach = if least.is_finite() { asked + least.max(0.0) } else { f64::INFINITY };
        if let Some(gap) = gap_within(a, poses[i], b, poses[j], Length::mm(reach)) {
            least = least.min(gap.distance.to_mm() - asked);
        }
    }
    least
}

fn edge_spare(scene: &Scene<'_>, poses: &[Pose]) -> f64 {
    let rooms = scene.movable().map(|i| {
        let Some(room) = scene.bodies[i].room else { return f64::NEG_INFINITY };
        let reach = extent(&scene.bodies[i].shape, poses[i]);
        let low = (reach.min.x - room.min.x).min(reach.min.y - room.min.y);
        low.min(room.max.x - reach.max.x).min(room.max.y - reach.max.y)
    });
    rooms.fold(f64::INFINITY, f64::min)
}

/// All pairs of which one may be moved.
pub(super) fn pairs<'a>(scene: &'a Scene<'_>) -> impl Iterator<Item = (usize, usize)> + 'a {
    let n = scene.bodies.len();
    let all = (0..n).flat_map(move |i| (i + 1..n).map(move |j| (i, j)));
    all.filter(|&(i, j)| !(scene.bodies[i].is_pinned && scene.bodies[j].is_pinned))
}

/// The mean distance from the middle of the opening, each body counted by how much it is taller than the lowest.
pub(super) fn tall_from_middle(scene: &Scene<'_>, poses: &[Pose]) -> f64 {
    let lowest = scene.bodies.iter().map(|body| body.height).fold(f64::INFINITY, f64::min);
    let middle = scene.opening.center();
    let (sum, all) = scene.bodies.iter().zip(poses).fold((0.0, 0.0), |(sum, all), (body, pose)| {
        let taller = body.height - lowest;
        (sum + taller * pose.apply(body.shape.centroid()).distance(middle), all + taller)
    });
    if all > 0.0 { sum / all } else { 0.0 }
}

/// The mean angle of the walls from the frame, each body counted by how decidedly its walls run one way.
pub(super) fn out_of_square(scene: &Scene<'_>, poses: &[Pose]) -> f64 {
    let (sum, all) = scene.bodies.iter().zip(poses).fold((0.0, 0.0), |(sum, all), (body, pose)| {
        let strength = body.walls.strength;
        (sum + strength * body.walls.out_of_square(pose.turn), all + strength)
    });
    if all > 0.0 { sum / all } else { 0.0 }
}

/// How much of their length the bodies face one another, closer pairs counting more, as the mean over the bodies.
///
/// A pair faces along the shadows that both cast across their gap, as a share of the longest either could cast, and
/// counts by the square of its clearance over its gap.
pub(super) fn facing(scene: &Scene<'_>, poses: &[Pose]) -> f64 {
    let mut sum = 0.0;
    for (i, j) in pairs(scene) {
        let (a, b) = (&scene.bodies[i].shape, &scene.bodies[j].shape);
        let gap = gap(a, poses[i], b, poses[j]);
        let asked = scene.distance(i, j).max(1.0);
        let apart = gap.distance.to_mm().max(asked);
        let across = gap.to - gap.from;
        let normal = if across.length() > 0.0 { across } else { poses[j].at - poses[i].at };
        let length = normal.length();
        if length > 0.0 {
            let along = normal.left() / length;
            let longest =
                scene.bodies[i].longest.min(scene.bodies[j].longest).max(f64::MIN_POSITIVE);
            let shared = shared_shadow((a, poses[i]), (b, poses[j]), along);
            sum += (asked / apart) * (asked / apart) * shared / longest;
        }
    }
    let n = u32::try_from(scene.movable().count()).map_or(1.0, f64::from).max(1.0);
    sum / n
}

/// How long the shadows of two placed shapes along a line overlap.
fn shared_shadow((a, pa): (&Shape, Pose), (b, pb): (&Shape, Pose), along: Vec2) -> f64 {
    let shadow = |shape: &Shape, pose: Pose| {
        let map = pose.map();
        let heights = shape.hull().iter().map(|&p| map.apply(p).to_vec2().dot(along));
        heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| (low.min(h), high.max(h)))
    };
    let (a, b) = (shadow(a, pa), shadow(b, pb));
    (a.1.min(b.1) - a.0.max(b.0)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, scene, standing};
    use super::*;

    fn measured(places: &[(f64, f64, (f64, f64, f64))]) -> Measures {
        let molds: Vec<_> =
            places.iter().map(|&(width, height, at)| (block(width, height), at)).collect();
        let plan = standing(&molds);
        let scene = scene(&plan);
        measures(&scene, &scene.poses().expect("all stand"))
    }

    #[test]
    fn what_is_spare_is_the_tightest_of_gaps_and_edges() {
        let pair = |apart: f64| {
            measured(&[
                (40.0, 20.0, (150.0, 150.0, 0.0)),
                (40.0, 20.0, (190.0 + apart, 150.0, 0.0)),
            ])
        };
        // 35 mm are asked between them.
        for apart in [10.0, 35.0, 41.5] {
            let spare = pair(apart).spare.to_mm();
            assert!((spare - (apart - 35.0)).abs() < 1e-9, "{apart}: {spare}");
        }
        // The left margin ends 40 mm from the corner, and the block begins at 42.
        let near = measured(&[(40.0, 20.0, (62.0, 150.0, 0.0))]);
        assert!((near.spare.to_mm() - 2.0).abs() < 1e-9, "{near:?}");
    }

    #[test]
    fn only_the_taller_count_towards_the_middle() {
        let low = (40.0, 10.0, (100.0, 100.0, 0.0));
        let tall = (40.0, 30.0, (230.0, 150.0, 0.0));
        assert!((measured(&[low, tall]).tall_from_middle.to_mm() - 30.0).abs() < 1e-9);
        assert_eq!(measured(&[low, low]).tall_from_middle, Length::ZERO);
    }

    #[test]
    fn walls_are_measured_against_the_nearer_side_of_the_frame() {
        for (turn, off) in [(0.0, 0.0), (90.0, 0.0), (30.0, 30.0), (75.0, 15.0), (-10.0, 10.0)] {
            let askew = measured(&[(90.0, 20.0, (200.0, 150.0, turn))]).out_of_square;
            assert!((askew.to_degrees() - off).abs() < 1e-6, "{turn}: {askew:?}");
        }
    }

    #[test]
    fn bars_side_by_side_face_each_other_and_end_to_end_hardly() {
        let side = [(90.0, 20.0, (200.0, 100.0, 0.0)), (90.0, 20.0, (200.0, 175.0, 0.0))];
        let end = [(90.0, 20.0, (130.0, 150.0, 0.0)), (90.0, 20.0, (255.0, 150.0, 0.0))];
        // At the very clearance: 90 of a diagonal of 98.5 mm, and 40 of it; each over two bars.
        let longest = 9700.0_f64.sqrt();
        for (bars, shared) in [(side, 90.0), (end, 40.0)] {
            let facing = measured(&bars).facing;
            assert!((facing - shared / longest / 2.0).abs() < 1e-9, "{facing}");
        }
    }
}
