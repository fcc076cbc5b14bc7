//! A region made ready to be asked about distances, overlaps and extents over and over.

use super::hull::convex_hull;
use super::tree::SideTree;
use super::{Point, Pose, Rect, Region, Ring};
use crate::units::{Area, Length};

/// A region with everything that many questions need worked out once.
///
/// Any region will do, invalid ones included: an outline that crosses itself counts a place as inside when a
/// ray from it crosses the sides an odd number of times, and corners that are not finite are left out.
/// `problems` says what is wrong with a region.
#[derive(Clone, Debug)]
pub struct Shape {
    region: Region,
    tree: SideTree,
    hull: Ring,
    bounds: Rect,
    centroid: Point,
    area: Area,
    perimeter: Length,
}

impl Shape {
    /// Makes a region ready. Cost: `n log n` for `n` corners, for the hull; the rest is linear.
    #[must_use]
    pub fn new(region: Region) -> Self {
        let region = finite(region);
        let hull = convex_hull(region.rings().flat_map(Ring::points).copied());
        Self {
            tree: SideTree::new(region.rings()),
            bounds: hull.bounds().unwrap_or_default(),
            centroid: centroid(&region).unwrap_or_else(|| middle(&hull)),
            area: region.area(),
            perimeter: region.perimeter(),
            hull,
            region,
        }
    }

    /// The region, in the mold's own coordinates.
    #[must_use]
    pub const fn region(&self) -> &Region {
        &self.region
    }

    /// True without a single corner.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.tree.sides().is_empty()
    }

    /// The smallest upright rectangle round the unturned shape; the origin when it is empty.
    #[must_use]
    pub const fn bounds(&self) -> Rect {
        self.bounds
    }

    /// The surface: the outer outline less its holes.
    #[must_use]
    pub const fn area(&self) -> Area {
        self.area
    }

    /// The length of all outlines, holes included.
    #[must_use]
    pub const fn perimeter(&self) -> Length {
        self.perimeter
    }

    /// The centre of the surface; the middle of the corners of the hull when there is no surface.
    #[must_use]
    pub const fn centroid(&self) -> Point {
        self.centroid
    }

    /// The corners of the convex hull, counter-clockwise.
    #[must_use]
    pub fn hull(&self) -> &[Point] {
        self.hull.points()
    }

    /// True when the placed shape covers `place`; a place in a hole is not covered, one on an outline may
    /// count either way. Cost: about `log n`.
    #[must_use]
    pub fn contains(&self, pose: Pose, place: Point) -> bool {
        self.covers(pose.map().invert(place))
    }

    /// The place of the outlines nearest to `place`, in the mold's own coordinates, and its distance in millimetres,
    /// negative when the shape covers `place`; `None` when the shape is empty. Cost: about `log n`.
    #[must_use]
    pub fn nearest_outline(&self, place: Point) -> Option<(Point, f64)> {
        let (side, distance) = self.tree.nearest(place)?;
        let foot = self.tree.sides()[side].nearest(place);
        Some((foot, if self.covers(place) { -distance } else { distance }))
    }

    /// Whether a place in the mold's own coordinates is covered.
    pub(super) fn covers(&self, place: Point) -> bool {
        self.tree.is_inside(place)
    }

    pub(super) const fn tree(&self) -> &SideTree {
        &self.tree
    }

    /// A corner of the outer outline; `None` when there is none.
    pub(super) fn any_corner(&self) -> Option<Point> {
        self.region.outer.points().first().copied()
    }
}

/// The region without corners that are not finite.
fn finite(region: Region) -> Region {
    let is_finite = |ring: &Ring| ring.points().iter().all(|p| p.is_finite());
    if region.rings().all(is_finite) {
        return region;
    }
    let clean =
        |ring: &Ring| Ring::new(ring.points().iter().copied().filter(|p| p.is_finite()).collect());
    Region { outer: clean(&region.outer), holes: region.holes.iter().map(clean).collect() }
}

/// The centre of the surface, measured from a corner to keep the digits; `None` when the surface is nothing.
fn centroid(region: &Region) -> Option<Point> {
    let origin = *region.outer.points().first()?;
    let triangles = region.rings().flat_map(Ring::sides).map(|(a, b)| (a - origin, b - origin));
    let (moment, doubled) =
        triangles.fold((super::Vec2::ZERO, 0.0), |(moment, doubled), (a, b)| {
            let cross = a.cross(b);
            (moment + (a + b) * cross, doubled + cross)
        });
    let center = origin + moment / (3.0 * doubled);
    (doubled > 0.0 && center.is_finite()).then_some(center)
}

/// The mean of the corners; the origin without corners.
fn middle(hull: &Ring) -> Point {
    let n = hull.points().len();
    if n == 0 {
        return Point::ORIGIN;
    }
    let sum = hull.points().iter().fold(super::Vec2::ZERO, |sum, p| sum + p.to_vec2());
    Point::ORIGIN + sum / f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Vec2, flatten};
    use crate::units::Angle;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    fn washer() -> Shape {
        let within = Length::mm(0.004);
        let (outer, inner) = (Length::mm(60.0), Length::mm(40.0));
        let holes = vec![flatten::circle(inner, within)];
        Shape::new(Region::new(flatten::circle(outer, within), holes))
    }

    #[test]
    fn a_washer_covers_its_rim_and_not_its_hole() {
        let pose = Pose::new(Point::new(100.0, 50.0), Angle::degrees(30.0));
        for (away, is_covered) in
            [(0.0, false), (19.9, false), (20.1, true), (29.9, true), (30.1, false)]
        {
            for turn in 0..24 {
                let place = pose.at + Vec2::unit(Angle::degrees(f64::from(turn) * 15.0)) * away;
                assert_eq!(washer().contains(pose, place), is_covered, "{away} mm at {turn}");
            }
        }
    }

    #[test]
    fn the_centroid_is_that_of_the_surface() {
        let ell = [(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (10.0, 10.0), (10.0, 40.0), (0.0, 40.0)];
        // 300 mm² about (15, 5) and 300 mm² about (5, 25).
        let shape = Shape::new(Region::new(ring(&ell), vec![]));
        assert!(shape.centroid().distance(Point::new(10.0, 15.0)) < 1e-12);
        assert_eq!(shape.area(), Area::mm2(600.0));
        assert_eq!(shape.perimeter(), Length::mm(140.0));
        assert!(washer().centroid().distance(Point::ORIGIN) < 1e-9);
    }

    #[test]
    fn regions_that_bound_nothing_are_shapes_all_the_same() {
        let empty = Shape::new(Region::default());
        assert!(empty.is_empty());
        assert_eq!(empty.centroid(), Point::ORIGIN);
        assert!(!empty.contains(Pose::default(), Point::ORIGIN));
        let line = Shape::new(Region::new(ring(&[(0.0, 0.0), (4.0, 0.0)]), vec![]));
        assert_eq!(line.centroid(), Point::new(2.0, 0.0));
        let odd =
            ring(&[(0.0, 0.0), (f64::NAN, 1.0), (4.0, 0.0), (4.0, f64::INFINITY), (0.0, 3.0)]);
        let odd = Shape::new(Region { outer: odd, holes: vec![] });
        assert_eq!(odd.area(), Area::mm2(6.0));
    }

    #[test]
    fn an_outline_that_crosses_itself_covers_its_two_lobes() {
        let bow = Shape::new(Region::new(
            ring(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]),
            vec![],
        ));
        for (x, y, is_covered) in
            [(1.0, 5.0, true), (9.0, 5.0, true), (5.0, 1.0, false), (5.0, 9.0, false)]
        {
            assert_eq!(bow.contains(Pose::default(), Point::new(x, y)), is_covered, "{x}, {y}");
        }
    }
}
