//! Leaves out corners of an outline that hardly matter.

use super::side::Side;
use super::{Point, Region, Ring};
use crate::units::Length;

/// The region with as few of its corners as keep every corner left out within `within` of the new sides.
///
/// Each outline with a surface keeps at least three corners, and the two that are farthest apart as seen from its first
/// corner, so that the answer does not depend on where the outline begins more than it must. Outlines are
/// treated one by one: a coarse tolerance can make them cross, which `problems` tells. Cost: `n log n` as a
/// rule, quadratic at worst. A tolerance of zero leaves out corners on straight sides only.
///
/// **Source:** D. H. Douglas and T. K. Peucker, Algorithms for the reduction of the number of points required
/// to represent a digitized line or its caricature, Cartographica 10(2), 1973 (cited from memory).
#[must_use]
pub fn simplify(region: &Region, within: Length) -> Region {
    let simpler = |ring: &Ring| simplify_ring(ring, within.to_mm());
    Region { outer: simpler(&region.outer), holes: region.holes.iter().map(simpler).collect() }
}

fn simplify_ring(ring: &Ring, within: f64) -> Ring {
    let corners = ring.points();
    let [first, _, _, _, ..] = *corners else { return ring.clone() };
    let anchor = farthest(corners, |p| p.distance(first)).map_or(0, |(index, _)| index);
    let turned: Vec<Point> =
        corners.iter().cycle().skip(anchor).take(corners.len() + 1).copied().collect();
    let Some((opposite, _)) = farthest(&turned, |p| p.distance(turned[0])) else {
        return ring.clone();
    };
    let mut is_kept = vec![false; turned.len()];
    is_kept[0] = true;
    is_kept[opposite] = true;
    mark(&turned, (0, opposite), within, &mut is_kept);
    mark(&turned, (opposite, corners.len()), within, &mut is_kept);
    keep_three(&turned, &mut is_kept);
    let kept = turned.iter().zip(&is_kept).take(corners.len());
    Ring::new(kept.filter(|(_, is_kept)| **is_kept).map(|(&p, _)| p).collect())
}

/// Marks the corners between two kept ones that must be kept too; a list of work, since outlines may be long.
fn mark(corners: &[Point], span: (usize, usize), within: f64, is_kept: &mut [bool]) {
    let mut waiting = vec![span];
    while let Some((first, last)) = waiting.pop() {
        let side = Side { from: corners[first], to: corners[last] };
        let between = corners.get(first + 1..last).unwrap_or_default();
        if let Some((index, distance)) = farthest(between, |p| side.distance(p))
            && distance > within
        {
            let middle = first + 1 + index;
            is_kept[middle] = true;
            waiting.extend([(first, middle), (middle, last)]);
        }
    }
}

/// Keeps a third corner when only two are left: the one farthest from the side between them.
fn keep_three(corners: &[Point], is_kept: &mut [bool]) {
    let kept: Vec<Point> =
        corners.iter().zip(&*is_kept).filter(|(_, k)| **k).map(|(&p, _)| p).collect();
    if let [from, to] = kept[..]
        && let Some((third, _)) = farthest(corners, |p| Side { from, to }.distance(p))
    {
        is_kept[third] = true;
    }
}

/// The first corner with the greatest measure, and that measure; `None` without corners.
fn farthest(corners: &[Point], measure: impl Fn(Point) -> f64) -> Option<(usize, f64)> {
    let measures = corners.iter().map(|&p| measure(p)).enumerate();
    measures.fold(None, |best: Option<(usize, f64)>, (index, distance)| match best {
        Some((_, most)) if distance <= most || distance.is_nan() => best,
        _ => Some((index, distance)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{flatten, tolerance};

    fn ring(corners: &[(f64, f64)]) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    fn simpler(ring: Ring, within: f64) -> Ring {
        simplify(&Region::new(ring, vec![]), Length::mm(within)).outer
    }

    #[test]
    fn corners_on_straight_sides_go_wherever_the_outline_begins() {
        let corners = [
            (5.0, 0.0),
            (10.0, 0.0),
            (10.0, 4.0),
            (10.0, 10.0),
            (0.0, 10.0),
            (0.0, 0.0),
            (2.0, 0.0),
        ];
        for start in 0..corners.len() {
            let mut turned = corners.to_vec();
            turned.rotate_left(start);
            let left = simpler(ring(&turned), 0.0);
            assert_eq!(left.points().len(), 4, "{left:?}");
            assert!((left.signed_area() - 100.0).abs() < 1e-12);
        }
    }

    #[test]
    fn what_is_left_out_lies_within_the_tolerance_and_what_is_left_is_an_outline() {
        let circle = flatten::circle(Length::mm(100.0), tolerance::MEASURE);
        let mut n_before = circle.points().len();
        for within in [0.05, 0.5, 5.0] {
            let left = simpler(circle.clone(), within);
            assert!(left.points().len() < n_before, "{} corners at {within}", left.points().len());
            assert!(left.signed_area() > 0.0);
            n_before = left.points().len();
            for &corner in circle.points() {
                let away = left.sides().map(|(from, to)| Side { from, to }.distance(corner));
                assert!(away.fold(f64::INFINITY, f64::min) <= within + 1e-12);
            }
        }
    }

    #[test]
    fn three_corners_are_left_of_any_surface() {
        let corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 3.0), (0.0, 3.0)];
        let left = simpler(ring(&corners), 50.0);
        assert_eq!(left.points().len(), 3);
        assert!(left.signed_area() > 0.0);
    }

    #[test]
    fn outlines_that_bound_nothing_are_left_as_they_are_or_made_shorter() {
        for corners in [&[][..], &[(1.0, 2.0)], &[(1.0, 2.0), (3.0, 4.0)]] {
            assert_eq!(simpler(ring(corners), 1.0), ring(corners));
        }
        let line = simpler(ring(&[(0.0, 0.0), (5.0, 0.0), (9.0, 0.0), (7.0, 0.0)]), 1.0);
        assert_eq!(line.points().len(), 2, "the two ends of a line");
        let odd = Ring::new(vec![Point::new(f64::NAN, 0.0); 5]);
        assert!(simpler(odd, 1.0).points().len() <= 5);
    }
}
