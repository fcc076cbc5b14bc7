//! Where one outline may not stand as seen from another: the places at which the two share surface.
//!
//! With the first at the origin and the second moved by `p`, they share surface exactly when `p` is inside the
//! Minkowski sum of the first and the second mirrored through its own origin. The sum is bounded by a part of the
//! convolution of the two outlines, whose winding number at `p` counts the pieces of what they share. That holds for
//! surfaces without holes, so one with holes is cut through them first.
//!
//! **Source:** L. J. Guibas, L. Ramshaw and J. Stolfi, A kinetic framework for computational geometry, FOCS 1983
//! (cited from memory).

use geo::algorithm::bool_ops::{BooleanOps, FillRule};
use geo::{Coord, LineString, MultiPolygon, Polygon, Rect as GeoRect};

use crate::geometry::{Point, Region, Ring, Vec2};

/// An outline in the sense of its winding; several of them bound a surface together.
pub(super) type Outlines = Vec<Vec<Point>>;

/// The outlines of all displacements of `other` at which it shares surface with `one`; holes are clockwise.
///
/// Displacements at which the two only just fit, without any play, are lost. Cost: the product of the corner counts,
/// and `m log m` for the `m` places at which sides of the convolution cross.
pub(super) fn forbidden(one: &[Ring], other: &[Ring]) -> Outlines {
    let mut loops: Vec<Polygon> = Vec::new();
    let mut union = MultiPolygon::new(Vec::new());
    for a in one {
        for b in other {
            let mirrored: Vec<Point> = b.points().iter().map(|p| Point::new(-p.x, -p.y)).collect();
            loops.extend(convolution(a.points(), &mirrored).iter().map(|ring| to_geo(ring)));
            let sum = MultiPolygon::new(std::mem::take(&mut loops));
            union = sum.union_with_fill_rule(&union, FillRule::Positive);
        }
    }
    let rings = union
        .0
        .iter()
        .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()));
    rings.map(from_geo).collect()
}

/// The surface as outlines without holes, cut along a level line through the middle of each hole.
pub(super) fn without_holes(region: &Region) -> Vec<Ring> {
    let (Some(bounds), false) = (region.bounds(), region.holes.is_empty()) else {
        return vec![region.outer.clone()];
    };
    let mut levels: Vec<f64> =
        region.holes.iter().filter_map(Ring::bounds).map(|hole| hole.center().y).collect();
    levels.extend([bounds.min.y - 1.0, bounds.max.y + 1.0]);
    levels.sort_by(f64::total_cmp);
    let ring = |ring: &Ring| to_geo(ring.points()).exterior().clone();
    let whole = Polygon::new(ring(&region.outer), region.holes.iter().map(ring).collect());
    let strips = levels.windows(2).filter(|pair| pair[0] < pair[1]).flat_map(|pair| {
        let (low, high) = (bounds.min.x - 1.0, bounds.max.x + 1.0);
        let strip = GeoRect::new((low, pair[0]), (high, pair[1])).to_polygon();
        whole.intersection(&strip).0
    });
    strips.map(|part| Ring::new(from_geo(part.exterior()))).map(counter_clockwise).collect()
}

fn counter_clockwise(ring: Ring) -> Ring {
    if ring.signed_area() < 0.0 { ring.reversed() } else { ring }
}

/// A directed side of the convolution between two nodes, each a corner of one outline with a corner of the other.
struct Link {
    to: usize,
    is_used: bool,
}

/// The closed curves of the convolution of two counter-clockwise outlines.
///
/// A corner of one goes with each side of the other whose direction is swept in turning at the corner, backwards
/// where the corner turns to the right.
fn convolution(a: &[Point], b: &[Point]) -> Outlines {
    let (n, m) = (a.len(), b.len());
    if n < 3 || m < 3 {
        return Vec::new();
    }
    let (of_a, of_b) = (directions(a), directions(b));
    let mut links: Vec<Vec<Link>> = Vec::new();
    links.resize_with(n * m, Vec::new);
    let mut add = |from: usize, to: usize, is_forward: bool| {
        let (from, to) = if is_forward { (from, to) } else { (to, from) };
        links[from].push(Link { to, is_used: false });
    };
    for i in 0..n {
        let arc = Arc { from: of_a[(i + n - 1) % n], to: of_a[i] };
        for (j, &direction) in of_b.iter().enumerate() {
            // Where two sides have one direction, that of `a` counts as the larger.
            if let Some(is_forward) = arc.sweeps(direction, false) {
                add(i * m + j, i * m + (j + 1) % m, is_forward);
            }
        }
    }
    for j in 0..m {
        let arc = Arc { from: of_b[(j + m - 1) % m], to: of_b[j] };
        for (i, &direction) in of_a.iter().enumerate() {
            if let Some(is_forward) = arc.sweeps(direction, true) {
                add(i * m + j, ((i + 1) % n) * m + j, is_forward);
            }
        }
    }
    let place = |node: usize| a[node / m] + b[node % m].to_vec2();
    cycles(&mut links).into_iter().map(|cycle| cycle.into_iter().map(place).collect()).collect()
}

/// The direction of each side, as an angle from minus to plus half a turn.
fn directions(ring: &[Point]) -> Vec<f64> {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(&p, &q)| libm::atan2(q.y - p.y, q.x - p.x)).collect()
}

/// The directions between that of one side and that of the next.
struct Arc {
    from: f64,
    to: f64,
}

impl Arc {
    /// Whether a direction is swept on the way, and if so whether counter-clockwise.
    ///
    /// `is_above` says that a direction equal to an end counts as a little larger than it, otherwise smaller.
    fn sweeps(&self, direction: f64, is_above: bool) -> Option<bool> {
        let turn = wrapped(self.to - self.from);
        let is_left = turn > 0.0;
        let (low, high) = if is_left { (self.from, self.to) } else { (self.to, self.from) };
        let is_past = |end: f64| if is_above { direction >= end } else { direction > end };
        let is_between = if low <= high {
            is_past(low) && !is_past(high)
        } else {
            is_past(low) || !is_past(high)
        };
        (is_between && low.to_bits() != high.to_bits()).then_some(is_left)
    }
}

/// The same angle between minus (exclusive) and plus (inclusive) half a turn.
fn wrapped(angle: f64) -> f64 {
    use std::f64::consts::{PI, TAU};
    if angle > PI {
        angle - TAU
    } else if angle <= -PI {
        angle + TAU
    } else {
        angle
    }
}

/// The closed walks that use each link once; as many links enter a node as leave it.
fn cycles(links: &mut [Vec<Link>]) -> Vec<Vec<usize>> {
    let mut found = Vec::new();
    for start in 0..links.len() {
        while let Some(mut at) = take(&mut links[start]) {
            let mut cycle = vec![start];
            while at != start {
                cycle.push(at);
                let Some(next) = take(&mut links[at]) else { break };
                at = next;
            }
            found.push(cycle);
        }
    }
    found
}

/// Uses a link of a node.
fn take(links: &mut [Link]) -> Option<usize> {
    let link = links.iter_mut().find(|link| !link.is_used)?;
    link.is_used = true;
    Some(link.to)
}

fn to_geo(ring: &[Point]) -> Polygon {
    Polygon::new(
        LineString::new(ring.iter().map(|p| Coord { x: p.x, y: p.y }).collect()),
        Vec::new(),
    )
}

fn from_geo(line: &LineString) -> Vec<Point> {
    let corners = line.coords().map(|c| Point::ORIGIN + Vec2::new(c.x, c.y)).collect();
    Ring::new(corners).points().to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Pose, Shape, flatten, is_overlapping};
    use crate::search::Seed;
    use crate::search::field::Field;
    use crate::search::random::Random;
    use crate::units::{Angle, Length};

    fn ring(corners: &[(f64, f64)]) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    fn square(side: f64) -> Ring {
        flatten::rectangle(Length::mm(side), Length::mm(side))
    }

    fn area(outlines: &Outlines) -> f64 {
        outlines.iter().map(|points| Ring::new(points.clone()).signed_area()).sum()
    }

    /// A hook: a square with a notch that narrows inwards.
    fn hook() -> Ring {
        let corners = [
            (0.0, 0.0),
            (30.0, 0.0),
            (30.0, 30.0),
            (20.0, 30.0),
            (16.0, 8.0),
            (9.0, 30.0),
            (0.0, 30.0),
        ];
        ring(&corners)
    }

    /// For convex outlines the area of the sum is known: both areas and twice the mixed one; for squares `(a + b)²`.
    #[test]
    fn the_sum_of_squares_is_the_square_of_the_sum() {
        let sum = forbidden(&[square(20.0)], &[square(6.0)]);
        assert_eq!(sum.len(), 1);
        assert!((area(&sum) - 26.0 * 26.0).abs() < 1e-5, "{}", area(&sum));
        let turned = square(6.0).placed(Pose::new(Point::ORIGIN, Angle::degrees(45.0)));
        // 400 + 36 and the square's four sides of 20 times the diagonal's half each: 2 * 20 * 6 * sqrt(2).
        let expected = 400.0 + 36.0 + 2.0 * 20.0 * 6.0 * 2.0_f64.sqrt();
        assert!((area(&forbidden(&[square(20.0)], &[turned])) - expected).abs() < 1e-4);
    }

    #[test]
    fn a_piece_fits_the_opening_of_a_frame_with_the_play_there_is() {
        let frame = Region::new(square(30.0), vec![square(20.0)]);
        let parts = without_holes(&frame);
        assert_eq!(parts.len(), 2);
        let whole: f64 = parts.iter().map(Ring::signed_area).sum();
        assert!((whole - 500.0).abs() < 1e-5);
        let field = Field::new(&forbidden(&parts, &[square(14.0)]), 0.0);
        for (x, y, expected) in
            [(0.0, 0.0, 3.0), (2.0, 0.0, 1.0), (2.5, -2.0, 0.5), (4.0, 0.0, -1.0)]
        {
            let signed = field.signed(Point::new(x, y));
            assert!((signed - expected).abs() < 1e-5, "({x}, {y}): {signed}");
        }
    }

    /// The exact geometry is asked at random displacements of concave outlines at random turns.
    #[test]
    fn displacements_inside_are_those_at_which_the_outlines_overlap() {
        let mut random = Random::new(Seed(5));
        let star: Vec<Point> = (0..14)
            .map(|k| {
                let away = if k % 2 == 0 { 18.0 } else { 7.0 };
                Point::ORIGIN + Vec2::unit(Angle::degrees(f64::from(k) * 360.0 / 14.0)) * away
            })
            .collect();
        let rings = [hook(), Ring::new(star)];
        let (mut n_in, mut n_out) = (0, 0);
        for k in 0..40 {
            let (one, other) = (&rings[k % 2], &rings[k / 2 % 2]);
            let turn = if k < 8 { 90.0 * (k as f64) } else { random.between(0.0, 360.0) };
            let turn = Angle::degrees(turn);
            let turned = other.placed(Pose::new(Point::ORIGIN, turn));
            let field = Field::new(&forbidden(std::slice::from_ref(one), &[turned]), 0.0);
            let [a, b] = [one, other].map(|r| Shape::new(Region::new(r.clone(), vec![])));
            for _ in 0..100 {
                let to = Point::new(random.between(-60.0, 60.0), random.between(-60.0, 60.0));
                let signed = field.signed(to);
                if signed.abs() < 1e-5 {
                    continue;
                }
                let overlaps = is_overlapping(&a, Pose::default(), &b, Pose::new(to, turn));
                assert_eq!(signed < 0.0, overlaps, "{k}: {to:?}, {turn:?}, {signed}");
                if overlaps { n_in += 1 } else { n_out += 1 }
            }
        }
        assert!(n_in > 500 && n_out > 500, "{n_in} {n_out}");
    }
}
