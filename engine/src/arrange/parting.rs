//! Which way, and how far, two placed shapes would have to be moved apart.

use crate::geometry::{Point, Pose, Shape, Vec2, gap_within, is_overlapping, tolerance};
use crate::units::{Angle, Length};

/// How two placed shapes stand to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Parting {
    /// The free distance in millimetres; negative by what a move along `normal` takes to part them.
    pub(super) distance: f64,
    /// From the second to the first, one millimetre long: moving the first along it parts them.
    pub(super) normal: Vec2,
}

/// How two placed shapes stand to each other; `None` when they are farther apart than `reach` millimetres.
///
/// For shapes apart exact. For convex ones that overlap the least move that parts them; for others no more than the
/// least that parts their hulls, tried in some directions.
pub(super) fn parting(
    (a, pa): (&Shape, Pose),
    (b, pb): (&Shape, Pose),
    reach: f64,
) -> Option<Parting> {
    let reach = Length::mm(reach).max(tolerance::SAME);
    let gap = gap_within(a, pa, b, pb, reach)?;
    let apart = gap.from - gap.to;
    let distance = apart.length();
    if distance > tolerance::SAME.to_mm() {
        return Some(Parting { distance, normal: apart / distance });
    }
    Some(overlapping((a, pa), (b, pb)))
}

/// The ways that part two shapes which overlap or touch, the least first; never empty, and at most `most`.
pub(super) fn ways_apart(
    (a, pa): (&Shape, Pose),
    (b, pb): (&Shape, Pose),
    most: usize,
) -> Vec<Parting> {
    let mut ways = of_hulls(a, pa, b, pb);
    ways.sort_by(|one, other| other.distance.total_cmp(&one.distance));
    let mut kept: Vec<Parting> = Vec::new();
    for way in ways {
        // Ways within a few degrees of a better one are that one again.
        let is_new = kept.iter().all(|better| better.normal.dot(way.normal) < 0.9);
        if is_new && kept.len() < most {
            kept.push(way);
        }
    }
    if kept.is_empty() {
        kept.push(Parting { distance: 0.0, normal: Vec2::new(1.0, 0.0) });
    }
    kept
}

fn overlapping((a, pa): (&Shape, Pose), (b, pb): (&Shape, Pose)) -> Parting {
    let of_hulls = ways_apart((a, pa), (b, pb), 1)[0];
    if is_convex(a) && is_convex(b) {
        return of_hulls;
    }
    let depth = -of_hulls.distance;
    shorter((a, pa), (b, pb), depth).unwrap_or(of_hulls)
}

/// A move shorter than `depth` that parts shapes of which one has a bay, if one of some directions has it.
fn shorter((a, pa): (&Shape, Pose), (b, pb): (&Shape, Pose), depth: f64) -> Option<Parting> {
    const DIRECTIONS: u32 = 16;
    const LENGTHS: u32 = 6;
    let directions = (0..DIRECTIONS)
        .map(|n| Vec2::unit(Angle::degrees(360.0 / f64::from(DIRECTIONS) * f64::from(n))));
    let directions: Vec<Vec2> = directions.collect();
    // Halves from just below the depth of the hulls downwards, so the least is found last.
    let mut found = None;
    let mut by = depth;
    for _ in 0..LENGTHS {
        by /= 2.0;
        let parts = |normal: &&Vec2| !is_overlapping(a, pa.moved(**normal * by), b, pb);
        match directions.iter().find(parts) {
            Some(&normal) => found = Some(Parting { distance: -by, normal }),
            None => break,
        }
    }
    found
}

/// True when the shape is its own hull, give or take a thousandth of its surface.
fn is_convex(shape: &Shape) -> bool {
    let hull = crate::geometry::Ring::new(shape.hull().to_vec()).signed_area();
    hull - shape.area().to_mm2() <= 1e-3 * hull
}

/// For every side of both hulls, what moving the first shape across that side takes to part them.
fn of_hulls(a: &Shape, pa: Pose, b: &Shape, pb: Pose) -> Vec<Parting> {
    let placed = |shape: &Shape, pose: Pose| {
        let map = pose.map();
        shape.hull().iter().map(|&corner| map.apply(corner)).collect::<Vec<Point>>()
    };
    let (hull_a, hull_b) = (placed(a, pa), placed(b, pb));
    // Outwards of the second, inwards of the first: the sides of the sum of one and the other mirrored.
    let normals = outwards(&hull_b).chain(outwards(&hull_a).map(|normal| -normal));
    normals
        .map(|normal| {
            let heights = |hull: &[Point]| {
                let heights = hull.iter().map(|p| p.to_vec2().dot(normal));
                heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| {
                    (low.min(h), high.max(h))
                })
            };
            let depth = heights(&hull_b).1 - heights(&hull_a).0;
            Parting { distance: -depth, normal }
        })
        .filter(|way| way.distance.is_finite())
        .collect()
}

/// The directions across the sides of a counter-clockwise hull, outwards.
fn outwards(hull: &[Point]) -> impl Iterator<Item = Vec2> + '_ {
    (0..hull.len()).filter_map(|i| {
        let along = hull[(i + 1) % hull.len()] - hull[i];
        let length = along.length();
        (length > 0.0).then(|| -along.left() / length)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Region, Ring, flatten};

    fn square(side: f64) -> Shape {
        let side = Length::mm(side);
        Shape::new(Region::new(flatten::rectangle(side, side), vec![]))
    }

    fn at(x: f64, y: f64) -> Pose {
        Pose::new(Point::new(x, y), Angle::ZERO)
    }

    #[test]
    fn shapes_apart_are_parted_along_their_gap() {
        let (a, b) = (square(10.0), square(10.0));
        let way = parting((&a, at(13.0, 2.0)), (&b, at(0.0, 0.0)), 5.0).expect("near");
        assert!((way.distance - 3.0).abs() < 1e-9 && way.normal.x > 0.999, "{way:?}");
        assert_eq!(parting((&a, at(13.0, 2.0)), (&b, at(0.0, 0.0)), 2.9), None);
    }

    #[test]
    fn convex_shapes_that_overlap_are_parted_by_the_least_move() {
        let (a, b) = (square(10.0), square(10.0));
        let way = parting((&a, at(1.0, -7.0)), (&b, at(0.0, 0.0)), 5.0).expect("near");
        assert!((way.distance + 3.0).abs() < 1e-9 && way.normal.y < -0.999, "{way:?}");
        let ways = ways_apart((&a, at(1.0, -7.0)), (&b, at(0.0, 0.0)), 9);
        let depths: Vec<f64> = ways.iter().map(|way| -way.distance).collect();
        assert!(depths.iter().zip([3.0, 9.0, 11.0, 17.0]).all(|(a, b)| (a - b).abs() < 1e-9));
    }

    #[test]
    fn a_peg_in_a_bay_is_parted_by_less_than_the_hulls_ask() {
        let corners = [(-20.0, -20.0), (20.0, -20.0), (20.0, 20.0), (-20.0, 20.0)];
        let bay = [(-20.0, 6.0), (0.0, 6.0), (0.0, -6.0), (-20.0, -6.0)];
        let ring = corners.iter().chain(&bay).map(|&(x, y)| Point::new(x, y)).collect();
        let holder = Shape::new(Region::new(Ring::new(ring), vec![]));
        let peg = square(10.0);
        // One millimetre into the bottom of the bay; the hulls are parted by 22.
        let way = parting((&peg, at(-4.0, 0.0)), (&holder, at(0.0, 0.0)), 5.0).expect("near");
        assert!(way.distance > -3.0, "{way:?}");
        let moved = at(-4.0, 0.0).moved(way.normal * -way.distance);
        assert!(!is_overlapping(&peg, moved, &holder, at(0.0, 0.0)));
    }
}
