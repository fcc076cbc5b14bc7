//! What two regions have in common, and what is left of one without the other.

use geo::algorithm::bool_ops::BooleanOps;
use geo::{MultiPolygon, Polygon};

use super::offset::{from_geo, to_geo};
use super::{Region, tolerance};

/// The surfaces that both regions cover; specks are left out.
///
/// **Units**: millimetres. **Cost**: about `n log n` in the corners of both and the crossings of their outlines.
#[must_use]
pub fn common(a: &Region, b: &Region) -> Vec<Region> {
    regions(&polygon(a).intersection(&polygon(b)))
}

/// The surfaces of `a` that `b` does not cover; specks are left out. Units and cost as [`common`].
#[must_use]
pub fn without(a: &Region, b: &Region) -> Vec<Region> {
    regions(&polygon(a).difference(&polygon(b)))
}

fn polygon(region: &Region) -> Polygon {
    Polygon::new(to_geo(&region.outer), region.holes.iter().map(to_geo).collect())
}

fn regions(polygons: &MultiPolygon) -> Vec<Region> {
    let regions = polygons.0.iter().map(from_geo);
    regions.filter(|region| region.area() > tolerance::SPECK).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Rect, Ring};

    fn rect(min: [f64; 2], max: [f64; 2]) -> Region {
        let [min, max] = [min, max].map(|[x, y]| Point::new(x, y));
        Region::new(Ring::new(Rect::new(min, max).corners().to_vec()), Vec::new())
    }

    fn area(regions: &[Region]) -> f64 {
        regions.iter().map(|region| region.area().to_mm2()).sum()
    }

    #[test]
    fn what_is_common_and_what_is_left_add_up_to_the_whole() {
        let (a, b) = (rect([0.0, 0.0], [10.0, 4.0]), rect([3.0, -1.0], [5.0, 9.0]));
        assert!((area(&common(&a, &b)) - 8.0).abs() < 1e-6);
        let left = without(&a, &b);
        assert_eq!(left.len(), 2);
        assert!((area(&left) - 32.0).abs() < 1e-6);
    }

    #[test]
    fn a_region_within_another_leaves_a_hole_and_one_apart_leaves_all() {
        let (a, inner) = (rect([0.0, 0.0], [10.0, 10.0]), rect([2.0, 2.0], [4.0, 4.0]));
        let ring = without(&a, &inner);
        assert_eq!((ring.len(), ring[0].holes.len()), (1, 1));
        let apart = rect([20.0, 0.0], [30.0, 10.0]);
        assert!(common(&a, &apart).is_empty());
        assert!((area(&without(&a, &apart)) - 100.0).abs() < 1e-6);
    }
}
