//! Draws nodes of the net on to the brows, where walls begin.
//!
//! A node goes to a corner of a brow that is in reach, or else to the nearest place of a brow. One that is as near to two
//! places stays: it lies on a line of symmetry between them, and to choose one would be to take a side.

use super::map::index_to_f64;
use crate::geometry::{Point, Ring, Shape, Side, Vec2};
use crate::units::Length;

/// An outline that turns by more than this sine, or back, has a corner there; a flattened curve turns by less.
const SHARP: f64 = 0.3;
/// Places that differ in distance by less than this are as near, in millimetres: brows are offset outlines, which are true to a
/// millionth of this.
const AS_NEAR: f64 = 1e-3;
/// Places farther from each other than this share of the reach are two.
const APART: f64 = 0.3;
/// Nodes are drawn to places of this grid in millimetres, a power of two and far coarser than brows are true: so what is
/// symmetric but for rounding becomes so to the last bit.
const GRID: f64 = 1.0 / 64.0;

/// Draws the nodes within reach of a brow on to it, both in millimetres; nodes are told from the middle of the opening.
pub(super) fn draw(
    flat: &mut [[f64; 2]],
    is_clamped: &[bool],
    (middle, reach): (Point, f64),
    brows: &[Shape],
) {
    // Nodes that are a rounding within or out of reach are out of it.
    let reach = reach - AS_NEAR;
    let corners: Vec<Vec<Point>> = brows.iter().map(sharp_corners).collect();
    for (place, is_clamped) in flat.iter_mut().zip(is_clamped) {
        let point = middle + Point::new(place[0], place[1]).to_vec2();
        let is_near = |brow: &Shape| {
            brow.bounds().grown(Length::mm(reach)).contains(point)
                && brow.nearest_outline(point).is_some_and(|(_, away)| away.abs() < reach)
        };
        let (mut sharp, mut feet) = (Vec::new(), Vec::new());
        for (brow, corners) in brows.iter().zip(&corners) {
            if !*is_clamped && is_near(brow) {
                sharp.extend(corners.iter().copied());
                let sides = brow.region().rings().flat_map(Ring::sides);
                feet.extend(sides.map(|(from, to)| Side { from, to }.nearest(point)));
            }
        }
        let goal = the_nearest(&sharp, point, reach).or_else(|| the_nearest(&feet, point, reach));
        if let Some(Some(foot)) = goal {
            let to_grid = |along: f64| libm::round(along / GRID) * GRID;
            *place = [to_grid(foot.x - middle.x), to_grid(foot.y - middle.y)];
        }
    }
}

/// The nearest of these places in reach, if any is; and that is nothing when two far apart are as near.
///
/// Of such that lie close together, as on both sides of a blunt corner, the mean.
fn the_nearest(places: &[Point], from: Point, reach: f64) -> Option<Option<Point>> {
    let away = places.iter().map(|place| place.distance(from));
    let least = away.filter(|away| *away < reach).min_by(f64::total_cmp)?;
    let is_near = |place: &&Point| place.distance(from) <= least + AS_NEAR;
    let near: Vec<Point> = places.iter().filter(is_near).copied().collect();
    let (first, count) = (*near.first()?, index_to_f64(near.len()));
    let sum = near.iter().fold(Vec2::ZERO, |sum, place| sum + (*place - first));
    let is_one = near.iter().all(|place| place.distance(first) < APART * reach);
    Some(is_one.then(|| first + sum * (1.0 / count)))
}

/// The corners of a brow's outlines, but for those of flattened curves.
fn sharp_corners(brow: &Shape) -> Vec<Point> {
    let mut sharp = Vec::new();
    for ring in brow.region().rings() {
        let points = ring.points();
        let around = points.iter().zip(points.iter().cycle().skip(1));
        for ((before, at), after) in around.zip(points.iter().cycle().skip(2)) {
            let (into, out) = (*at - *before, *after - *at);
            let (sin, cos) = (into.cross(out), into.dot(out));
            if sin.abs() > SHARP * into.length() * out.length() || cos < 0.0 {
                sharp.push(*at);
            }
        }
    }
    sharp
}
