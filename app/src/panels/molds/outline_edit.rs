//! What a hand does to an outline corner by corner: pure, so that it is tested without a page.

use engine::geometry::{Point, Ring};

/// The outer outline and the holes, the outer one first.
pub(super) type Rings = Vec<Ring>;

/// One corner: which outline, and which of its corners.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Corner {
    /// Which outline; 0 is the outer one.
    pub(super) ring: usize,
    /// Which corner of it.
    pub(super) at: usize,
}

/// The corner nearest to `place` within `reach` millimetres.
pub(super) fn nearest_corner(rings: &[Ring], place: Point, reach: f64) -> Option<Corner> {
    let all = rings.iter().enumerate().flat_map(|(ring, outline)| {
        let corners = outline.points().iter().enumerate();
        corners.map(move |(at, point)| (Corner { ring, at }, point.distance(place)))
    });
    let near = all.filter(|(_, distance)| *distance <= reach);
    near.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(corner, _)| corner)
}

/// The outlines with a corner at `place`, put into the side that passes nearest.
pub(super) fn with_corner(rings: &[Ring], place: Point) -> (Rings, Corner) {
    let sides = rings.iter().enumerate().flat_map(|(ring, outline)| {
        let sides = outline.sides().enumerate();
        sides.map(move |(at, side)| (Corner { ring, at: at + 1 }, from_side(side, place)))
    });
    let nearest = sides.min_by(|a, b| a.1.total_cmp(&b.1));
    let corner = nearest.map_or(Corner { ring: 0, at: 0 }, |(corner, _)| corner);
    let rings = changed(rings, corner.ring, |points| points.insert(corner.at, place));
    (rings, corner)
}

/// The outlines with one corner elsewhere.
pub(super) fn moved(rings: &[Ring], corner: Corner, to: Point) -> Rings {
    changed(rings, corner.ring, |points| {
        if let Some(point) = points.get_mut(corner.at) {
            *point = to;
        }
    })
}

/// The outlines without one corner; a hole of three corners goes with it, the outer outline keeps three.
pub(super) fn without_corner(rings: &[Ring], corner: Corner) -> Option<Rings> {
    let outline = rings.get(corner.ring)?;
    if outline.points().len() > 3 {
        return Some(changed(rings, corner.ring, |points| {
            points.remove(corner.at.min(points.len() - 1));
        }));
    }
    let is_hole = corner.ring > 0;
    is_hole.then(|| {
        let kept = rings.iter().enumerate().filter(|(ring, _)| *ring != corner.ring);
        kept.map(|(_, outline)| outline.clone()).collect()
    })
}

/// The outlines with the points of one changed; without any outline there is one now.
fn changed(rings: &[Ring], which: usize, with: impl FnOnce(&mut Vec<Point>)) -> Rings {
    let mut rings = rings.to_vec();
    if rings.is_empty() {
        rings.push(Ring::default());
    }
    if let Some(ring) = rings.get_mut(which) {
        let mut points = ring.points().to_vec();
        with(&mut points);
        *ring = Ring::new(points);
    }
    rings
}

/// How far a place lies from a side, in millimetres.
fn from_side((from, to): (Point, Point), place: Point) -> f64 {
    let along = to - from;
    let whole = along.dot(along);
    let share = if whole > 0.0 { ((place - from).dot(along) / whole).clamp(0.0, 1.0) } else { 0.0 };
    (from + along * share).distance(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    fn frame() -> Rings {
        vec![
            ring(&[(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)]),
            ring(&[(10.0, 10.0), (20.0, 10.0), (15.0, 20.0)]),
        ]
    }

    #[test]
    fn the_nearest_corner_within_reach_is_taken() {
        let near = nearest_corner(&frame(), Point::new(19.0, 11.0), 3.0);
        assert_eq!(near, Some(Corner { ring: 1, at: 1 }));
        assert_eq!(nearest_corner(&frame(), Point::new(30.0, 15.0), 3.0), None);
    }

    #[test]
    fn a_new_corner_goes_into_the_side_it_lies_nearest_to() {
        let (rings, corner) = with_corner(&frame(), Point::new(44.0, 15.0));
        assert_eq!(corner, Corner { ring: 0, at: 2 });
        assert_eq!(rings[0].points()[2], Point::new(44.0, 15.0));
        assert_eq!(rings[0].points().len(), 5);
        let (rings, corner) = with_corner(&frame(), Point::new(-1.0, 15.0));
        assert_eq!(corner, Corner { ring: 0, at: 4 });
        assert_eq!(rings[1], frame()[1]);
    }

    #[test]
    fn an_outline_can_be_begun_from_nothing() {
        let (rings, corner) = with_corner(&[], Point::new(1.0, 2.0));
        assert_eq!((rings, corner.at), (vec![ring(&[(1.0, 2.0)])], 0));
    }

    #[test]
    fn the_last_three_corners_stay_but_a_hole_goes_whole() {
        let corner = Corner { ring: 0, at: 1 };
        let fewer = without_corner(&frame(), corner).expect("has four");
        assert_eq!(fewer[0], ring(&[(0.0, 0.0), (40.0, 30.0), (0.0, 30.0)]));
        assert_eq!(without_corner(&fewer, corner), None);
        let solid = without_corner(&frame(), Corner { ring: 1, at: 0 }).expect("is a hole");
        assert_eq!(solid, frame()[..1]);
    }

    #[test]
    fn a_moved_corner_leaves_the_others() {
        let after = moved(&frame(), Corner { ring: 0, at: 2 }, Point::new(50.0, 35.0));
        assert_eq!(after[0], ring(&[(0.0, 0.0), (40.0, 0.0), (50.0, 35.0), (0.0, 30.0)]));
    }
}
