//! The convex hull of an outline and its widths: what a mold measures between two parallel straight-edges.

use geo::Coord;
use geo::algorithm::kernels::{Kernel, Orientation, RobustKernel};

use super::{Point, Ring, Shape};
use crate::units::Length;

/// The smallest convex outline round all points, counter-clockwise, without corners on its straight sides.
///
/// Fewer than three corners remain when the points lie on one line; corners that are not finite are left out.
/// Cost: `n log n`.
///
/// **Source:** A. M. Andrew, Another efficient algorithm for convex hulls in two dimensions, Information
/// Processing Letters 9(5), 1979 (cited from memory). The turns are judged by exact arithmetic.
pub fn convex_hull(points: impl IntoIterator<Item = Point>) -> Ring {
    let mut sorted: Vec<Point> = points.into_iter().filter(|p| p.is_finite()).collect();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    if sorted.len() < 3 {
        return Ring::new(sorted);
    }
    let mut hull = chain(sorted.iter().copied());
    let back = chain(sorted.iter().rev().copied());
    hull.pop();
    hull.extend(back);
    Ring::new(hull)
}

/// The corners from the first point to the last that leave all others to the left.
fn chain(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::new();
    for point in points {
        while let [.., a, b] = corners[..]
            && !is_left_turn(a, b, point)
        {
            corners.pop();
        }
        corners.push(point);
    }
    corners
}

fn is_left_turn(a: Point, b: Point, c: Point) -> bool {
    let [a, b, c] = [a, b, c].map(|p| Coord { x: p.x, y: p.y });
    RobustKernel::orient2d(a, b, c) == Orientation::CounterClockwise
}

/// The least distance between two parallel lines that hold the shape between them.
///
/// This is the narrower footprint width that the height-to-width draw ratio divides by. Cost: linear in the
/// corners of the hull. Zero for a shape without area.
///
/// **Source:** M. I. Shamos, Computational Geometry, doctoral thesis, Yale University, 1978 (turning the two lines
/// round the hull; the least width has one line along a side; cited from memory).
#[must_use]
pub fn min_width(shape: &Shape) -> Length {
    let hull = shape.hull();
    let n = hull.len();
    let mut far = 0;
    let mut least = f64::INFINITY;
    for (i, &from) in hull.iter().enumerate() {
        let along = hull[(i + 1) % n] - from;
        let height = |corner: usize| along.cross(hull[corner % n] - from);
        far = far.max(i + 1);
        while height(far + 1) > height(far) {
            far += 1;
        }
        least = least.min(height(far) / along.length());
    }
    Length::mm(if least.is_finite() { least } else { 0.0 })
}

/// The greatest distance between two corners of the shape, which is also the widest pair of parallel lines.
///
/// Cost: quadratic in the corners of the hull.
#[must_use]
pub fn max_width(shape: &Shape) -> Length {
    let hull = shape.hull();
    let squares = hull
        .iter()
        .enumerate()
        .flat_map(|(i, &a)| hull[..i].iter().map(move |&b| (b - a).dot(b - a)));
    Length::mm(squares.fold(0.0, f64::max).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Region, flatten};

    fn shape(corners: &[(f64, f64)]) -> Shape {
        let corners = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Shape::new(Region::new(Ring::new(corners), vec![]))
    }

    #[test]
    fn the_hull_of_a_notched_square_is_the_square() {
        let notched = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 2.0), (0.0, 10.0)];
        let hull = shape(&notched);
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        assert_eq!(hull.hull(), square.map(|(x, y)| Point::new(x, y)));
    }

    #[test]
    fn points_on_one_line_leave_the_two_ends() {
        let line = (0..9).map(|i| Point::new(f64::from(i), 2.0 * f64::from(i)));
        assert_eq!(convex_hull(line).points(), [Point::new(0.0, 0.0), Point::new(8.0, 16.0)]);
        let odd = [Point::new(f64::NAN, 0.0), Point::new(1.0, f64::INFINITY)];
        assert!(convex_hull(odd).points().is_empty());
    }

    #[test]
    fn widths_are_those_of_the_closed_forms() {
        let rectangle = flatten::rectangle(Length::mm(30.0), Length::mm(40.0));
        let rectangle = Shape::new(Region::new(rectangle, vec![]));
        assert_eq!(min_width(&rectangle), Length::mm(30.0));
        assert_eq!(max_width(&rectangle), Length::mm(50.0));
        let triangle = flatten::regular_polygon(3, Length::mm(20.0));
        let triangle = Shape::new(Region::new(triangle, vec![]));
        assert!((min_width(&triangle) - Length::mm(15.0)).abs() < Length::mm(1e-12));
        let disc = flatten::circle(Length::mm(35.0), Length::mm(0.004));
        let disc = Shape::new(Region::new(disc, vec![]));
        for width in [min_width(&disc), max_width(&disc)] {
            assert!((width - Length::mm(35.0)).abs() < Length::mm(0.008), "{width:?}");
        }
    }

    #[test]
    fn shapes_without_area_have_no_width() {
        for corners in [
            &[][..],
            &[(1.0, 2.0)],
            &[(1.0, 2.0), (4.0, 6.0)],
            &[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)],
        ] {
            assert_eq!(min_width(&shape(corners)), Length::ZERO, "{corners:?}");
        }
        assert_eq!(max_width(&shape(&[(1.0, 2.0), (4.0, 6.0)])), Length::mm(5.0));
    }
}
