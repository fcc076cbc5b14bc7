//! The rim that sloping walls take off a footprint, seen from above.
//!
//! ```text
//! mean length of the rim = (A - A') / w,      A' = area of the places inside farther than w from the outline
//! ```
//!
//! Said as a length and not as the area left, so that upright walls, whose rim has no width, need no
//! case of their own. Four ways lead to it. Where no side of a convex outline vanishes on the way inwards, a corner
//! that turns by `t` takes `w tan(t / 2)` off the length: exact; so it is of a rim that is narrow, where a corner that
//! turns inwards, and is rounded by the rim, adds `w t / 2`. Any other convex outline is cut by half-planes: exact (see
//! `convex_inset`). Where few sides of another vanish or are left short, the outline is offset: exact to the offset's
//! tolerance. Where many do, which is a curve shrunk to its radius and beyond, the outline offset would cross itself
//! everywhere and take seconds to sort out; what is left is then measured in rows, to a part in a thousand or so.
//!
//! **Source:** plane geometry; J. Steiner's formula for parallel outlines, 1840 (from memory).

use super::convex_inset::convex_inset;
use crate::geometry::{Point, Pose, Region, Ring, Shape, Vec2, min_width, offset, tolerance};
use crate::units::{Angle, Area, Length};

/// Up to this width, in millimetres, sides that vanish are taken for whole: what they share is then less than
/// the rounding of an offset.
const NARROW_MM: f64 = 0.1;

/// Outlines with more sides than this that vanish are measured in rows.
const MOST_VANISHING: usize = 16;

/// A side that loses more of its length than this is short: until it is cut off at both ends it reaches over ten others
/// like it and more, and each of those crossings is sorted out.
const SHORT: f64 = 0.9;

/// Outlines with more short sides than this are measured in rows.
const MOST_SHORT: usize = 128;

/// Rows that a footprint is measured in.
const N_ROWS: u32 = 256;

/// How far a footprint is turned before it is measured in rows: no angle that people draw.
const ASKEW: Angle = Angle::radians(0.5);

/// How the rim of an outline is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    /// What the corners take off the length.
    Corners,
    /// Half-planes.
    HalfPlanes,
    /// An offset.
    Offset,
    /// Rows.
    Rows,
}

fn way(footprint: &Shape, rings: &[Ring], width: Length) -> Way {
    let vanishing = n_losing(rings, width, 1.0);
    let is_convex = is_convex(footprint, rings);
    if width <= Length::mm(NARROW_MM) || (vanishing == 0 && is_convex) {
        Way::Corners
    } else if is_convex {
        Way::HalfPlanes
    } else if vanishing > MOST_VANISHING || n_losing(rings, width, SHORT) > MOST_SHORT {
        Way::Rows
    } else {
        Way::Offset
    }
}

/// The area that a rim of this width takes off the footprint, over the width.
///
/// A rim wider than the footprint takes all of it. Cost: linear, `n log n` or [`N_ROWS`] times `n log n`.
pub(super) fn mean_rim_length(footprint: &Shape, width: Length) -> Length {
    // Nothing lies farther from an outline than half the narrower width.
    if width * 2.0 >= min_width(footprint) {
        return footprint.area() / width;
    }
    let rings: Vec<Ring> = footprint.region().rings().map(without_repeats).collect();
    let left = match way(footprint, &rings, width) {
        Way::Corners => return along_corners(&rings, width),
        Way::HalfPlanes => Area::mm2(inset(&rings, width).signed_area()),
        Way::Offset => {
            let left = offset(footprint.region(), -width, tolerance::MEASURE);
            left.iter().map(Region::area).sum()
        }
        Way::Rows => left_in_rows(footprint, width),
    };
    (footprint.area() - left) / width
}

/// The length of the outline inset by a distance; none is left beyond half the narrower width.
///
/// Cost: as of [`mean_rim_length`].
pub(super) fn inner_length(footprint: &Shape, inset_by: Length) -> Length {
    if inset_by * 2.0 >= min_width(footprint) {
        return Length::ZERO;
    }
    let rings: Vec<Ring> = footprint.region().rings().map(without_repeats).collect();
    match way(footprint, &rings, inset_by) {
        // The mean over a rim twice as wide, because the length falls evenly.
        Way::Corners => along_corners(&rings, inset_by * 2.0),
        Way::HalfPlanes => inset(&rings, inset_by).perimeter(),
        Way::Offset => {
            let left = offset(footprint.region(), -inset_by, tolerance::MEASURE);
            left.iter().map(Region::perimeter).sum()
        }
        Way::Rows => {
            let half = (inset_by / 8.0).max(Length::mm(1.0));
            let (low, high) = ((inset_by - half).max(Length::ZERO), inset_by + half);
            let left = |width: Length| footprint.area() - mean_rim_length(footprint, width) * width;
            (left(low) - left(high)) / (high - low)
        }
    }
}

/// What is left of a convex outline, which has no holes.
fn inset(rings: &[Ring], by: Length) -> Ring {
    rings.first().map_or_else(Ring::default, |outline| convex_inset(outline, by))
}

/// The outline without corners that stand where the one before does, because their sides have no direction.
fn without_repeats(ring: &Ring) -> Ring {
    let mut corners = ring.points().to_vec();
    let is_same = |a: Point, b: Point| a.distance(b) <= tolerance::SAME.to_mm();
    corners.dedup_by(|a, b| is_same(*a, *b));
    while corners.len() > 1 && is_same(corners[0], corners[corners.len() - 1]) {
        corners.pop();
    }
    Ring::new(corners)
}

/// True when no part of the outline can meet another on the way inwards before a side vanishes.
fn is_convex(footprint: &Shape, rings: &[Ring]) -> bool {
    matches!(rings, [outer] if outer.points().len() == footprint.hull().len())
}

/// The length of the outlines, less what the corners take off it on average over the width.
fn along_corners(rings: &[Ring], width: Length) -> Length {
    let lost: f64 = rings.iter().flat_map(losses).sum();
    rings.iter().map(Ring::perimeter).sum::<Length>() - width * lost
}

/// How many sides of the outlines lose more than this share of their length at this distance inwards; all of it, and
/// they vanish.
fn n_losing(rings: &[Ring], width: Length, share: f64) -> usize {
    let of = |outline: &Ring| {
        let losses = losses(outline);
        let next = losses.iter().cycle().skip(1);
        let lengths = outline.sides().map(|(from, to)| from.distance(to));
        let sides = lengths.zip(losses.iter().zip(next));
        sides.filter(|(length, (from, to))| width.to_mm() * (*from + *to) > share * *length).count()
    };
    rings.iter().map(of).sum()
}

/// What the corner at the start of each side takes off the length of a rim, for each millimetre of its width.
fn losses(outline: &Ring) -> Vec<f64> {
    let corners = outline.points();
    let before = corners.iter().cycle().skip(corners.len().saturating_sub(1));
    let turns = before.zip(outline.sides()).map(|(&before, (corner, after))| {
        let (along, onward) = (corner - before, after - corner);
        libm::atan2(along.cross(onward), along.dot(onward))
    });
    turns.map(|turn| if turn > 0.0 { libm::tan(turn / 2.0) } else { turn / 2.0 }).collect()
}

/// What the rim leaves of the footprint, measured along the middles of rows.
///
/// The footprint is turned askew, because a straight side that ran along the rows would be in or out of a row as
/// a whole.
fn left_in_rows(footprint: &Shape, width: Length) -> Area {
    let askew = footprint.region().placed(Pose::new(Point::ORIGIN, ASKEW));
    let Some(bounds) = askew.bounds().map(|bounds| bounds.grown(-width)) else { return Area::ZERO };
    let row_depth = bounds.depth() / f64::from(N_ROWS);
    let rows = (0..N_ROWS).map(|row| bounds.min.y + (f64::from(row) + 0.5) * row_depth.to_mm());
    let mut row = Vec::new();
    let lengths = rows.map(|y| {
        row.clear();
        for (from, to) in askew.rings().flat_map(Ring::sides) {
            row.extend(crossing(from, to, y));
            row.extend(blocked(from, to, width.to_mm(), y).into_iter().flatten());
        }
        length_left(&mut row)
    });
    Length::mm(lengths.sum()) * row_depth
}

/// A place along a row where something changes.
struct Change {
    x: f64,
    /// True where the outline is crossed.
    crosses: bool,
    /// How many more sides are near from here on.
    near: i32,
}

/// The part of a row inside the outline and near no side.
fn length_left(row: &mut [Change]) -> f64 {
    row.sort_by(|a, b| a.x.total_cmp(&b.x));
    let (mut left, mut is_inside, mut n_near) = (0.0, false, 0);
    for pair in row.windows(2) {
        is_inside ^= pair[0].crosses;
        n_near += pair[0].near;
        if is_inside && n_near == 0 {
            left += pair[1].x - pair[0].x;
        }
    }
    left
}

/// Where a side crosses a row.
fn crossing(from: Point, to: Point, y: f64) -> Option<Change> {
    let x = crossing_at(from, to, y)?;
    Some(Change { x, crosses: true, near: 0 })
}

/// An end that lies in the row counts for the higher side only.
fn crossing_at(from: Point, to: Point, y: f64) -> Option<f64> {
    ((from.y > y) != (to.y > y)).then(|| from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y))
}

/// The stretch of a row that is nearer to a side than `width`.
fn blocked(from: Point, to: Point, width: f64, y: f64) -> Option<[Change; 2]> {
    if y < from.y.min(to.y) - width || y > from.y.max(to.y) + width {
        return None;
    }
    let along = to - from;
    let aside = along.left() * (width / along.length().max(f64::MIN_POSITIVE));
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut include = |x: f64| (least, most) = (least.min(x), most.max(x));
    for end in [from, to] {
        let square = width * width - (y - end.y) * (y - end.y);
        if square >= 0.0 {
            include(end.x - square.sqrt());
            include(end.x + square.sqrt());
        }
    }
    for by in [aside, Vec2::ZERO - aside] {
        if let Some(x) = crossing_at(from + by, to + by, y) {
            include(x);
        }
    }
    (least < most).then_some([
        Change { x: least, crosses: false, near: 1 },
        Change { x: most, crosses: false, near: -1 },
    ])
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::geometry::flatten;

    fn shape(corners: &[(f64, f64)]) -> Shape {
        let corners = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Shape::new(Region::new(Ring::new(corners), vec![]))
    }

    fn ell() -> Shape {
        shape(&[(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)])
    }

    /// A wavy outline of so many corners, 22 to 30 mm from its centre.
    fn wavy(n_corners: u32) -> Shape {
        let corner = |i: u32| {
            let turn = Angle::degrees(360.0 * f64::from(i) / f64::from(n_corners));
            let wave = Angle::radians(turn.to_radians() * 4.0).cos();
            Point::ORIGIN + Vec2::unit(turn) * (26.0 + 4.0 * wave)
        };
        Shape::new(Region::new(Ring::new((0..n_corners).map(corner).collect()), vec![]))
    }

    #[track_caller]
    fn check(got: f64, expected: f64, within: f64) {
        let off = (got - expected).abs() / expected.abs();
        assert!(off <= within, "{got}, not {expected} ({off:e})");
    }

    #[test]
    fn the_three_ways_agree_on_an_outline_with_an_inner_corner() {
        let width = Length::mm(5.0);
        let rings = [ell().region().outer.clone()];
        let left = ell().area() - along_corners(&rings, width) * width;
        let exact = 2000.0 - 5.0 * (240.0 - 25.0 + 5.0 * PI / 4.0);
        check(left.to_mm2(), exact, 1e-12);
        check((ell().area() - mean_rim_length(&ell(), width) * width).to_mm2(), exact, 1e-5);
        check(left_in_rows(&ell(), width).to_mm2(), exact, 1e-3);
    }

    #[test]
    fn a_corner_given_twice_counts_once() {
        let twice =
            shape(&[(0.0, 0.0), (40.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0), (0.0, 4e-7)]);
        for width in [0.05, 8.0] {
            let length = mean_rim_length(&twice, Length::mm(width)).to_mm();
            check(length, 160.0 - 4.0 * width, 1e-6);
        }
    }

    #[test]
    fn rows_measure_discs_rings_and_turned_squares() {
        let disc = |across| flatten::circle(Length::mm(across), tolerance::MEASURE);
        let (whole, width) = (Shape::new(Region::new(disc(80.0), vec![])), Length::mm(12.0));
        check(left_in_rows(&whole, width).to_mm2(), PI * 28.0 * 28.0, 5e-4);
        let ring = Shape::new(Region::new(disc(80.0), vec![disc(30.0)]));
        check(
            left_in_rows(&ring, Length::mm(6.0)).to_mm2(),
            PI * (34.0 * 34.0 - 21.0 * 21.0),
            5e-4,
        );
        let diamond = shape(&[(0.0, -30.0), (30.0, 0.0), (0.0, 30.0), (-30.0, 0.0)]);
        let half_diagonal = 30.0 - 5.0 * 2.0_f64.sqrt();
        let expected = 2.0 * half_diagonal * half_diagonal;
        check(left_in_rows(&diamond, Length::mm(5.0)).to_mm2(), expected, 5e-4);
    }

    #[test]
    fn rows_agree_with_the_offset_where_a_curve_shrinks_beyond_its_radius() {
        let width = Length::mm(12.0);
        let left: Area =
            offset(wavy(128).region(), -width, tolerance::MEASURE).iter().map(Region::area).sum();
        let rings = [wavy(128).region().outer.clone()];
        assert_eq!(way(&wavy(128), &rings, width), Way::Rows);
        check(left_in_rows(&wavy(128), width).to_mm2(), left.to_mm2(), 1e-3);
    }

    #[test]
    fn an_upright_wall_stands_on_the_whole_outline_and_a_flat_one_on_nothing() {
        assert_eq!(mean_rim_length(&ell(), Length::ZERO), Length::mm(240.0));
        check(mean_rim_length(&ell(), Length::mm(50.0)).to_mm(), 40.0, 1e-12);
    }

    #[test]
    fn nothing_jumps_where_one_way_hands_over_to_another() {
        for width in [NARROW_MM, min_width(&ell()).to_mm() / 2.0 - 1e-6] {
            let [below, above] =
                [-1e-9, 1e-9].map(|by| mean_rim_length(&ell(), Length::mm(width + by)));
            check(below.to_mm(), above.to_mm(), 1e-3);
        }
    }

    #[test]
    fn an_inset_outline_is_as_long_as_plane_geometry_says() {
        // The ell loses 8 tan 45° a millimetre at its five outer corners, and its inner one is rounded by a quarter circle.
        let at = |width: f64| inner_length(&ell(), Length::mm(width)).to_mm();
        check(at(0.0), 240.0, 1e-12);
        check(at(5.0), 240.0 - 10.0 * 5.0 + 5.0 * PI / 2.0, 1e-4);
        check(at(0.05), 240.0 - 10.0 * 0.05 + 0.05 * PI / 2.0, 1e-9);
        let disc = flatten::circle(Length::mm(80.0), tolerance::MEASURE);
        let disc = Shape::new(Region::new(disc, vec![]));
        check(inner_length(&disc, Length::mm(12.0)).to_mm(), 2.0 * PI * 28.0, 2e-4);
        assert_eq!(inner_length(&disc, Length::mm(40.0)), Length::ZERO);
        let exact: Length = offset(wavy(128).region(), Length::mm(-12.0), tolerance::MEASURE)
            .iter()
            .map(Region::perimeter)
            .sum();
        check(inner_length(&wavy(128), Length::mm(12.0)).to_mm(), exact.to_mm(), 0.03);
    }

    /// A disc with one of its corners cut off, so that a side vanishes, or drawn in.
    fn nearly_round(is_nicked: bool) -> Shape {
        let disc = flatten::circle(Length::mm(2820.0), tolerance::MEASURE);
        let mut corners = disc.points().to_vec();
        let [before, at, after] = [corners[0], corners[1], corners[2]];
        let towards = |other: Point| at + (other - at) * 0.1;
        let nick = at - (at - Point::ORIGIN) * 0.0003;
        let instead = if is_nicked { vec![nick] } else { vec![towards(before), towards(after)] };
        corners.splice(1..2, instead);
        Shape::new(Region::new(Ring::new(corners), vec![]))
    }

    /// Every side of a disc is short far inside: an offset would have tens of thousands of crossings to sort out there, and
    /// is not asked. What is left jumps nowhere.
    #[test]
    fn an_outline_shrunk_nearly_to_its_radius_is_not_offset() {
        let told = |is_nicked: bool, width: f64| {
            let (shape, width) = (nearly_round(is_nicked), Length::mm(width));
            let rings: Vec<Ring> = shape.region().rings().cloned().collect();
            let left = shape.area() - mean_rim_length(&shape, width) * width;
            (way(&shape, &rings, width), left.to_mm2())
        };
        for width in [1290.0, 1380.5, 1405.0] {
            let disc = flatten::circle(Length::mm(2820.0), tolerance::MEASURE);
            // An outline about a circle is half its length times the circle's radius.
            let radius = 2.0 * disc.signed_area() / disc.perimeter().to_mm();
            let expected = disc.signed_area() * (1.0 - width / radius) * (1.0 - width / radius);
            let (round, left) = told(false, width);
            assert_eq!(round, Way::HalfPlanes);
            check(left, expected, 2e-3);
            let (nicked, nicked_left) = told(true, width);
            assert_eq!(nicked, Way::Rows);
            // The nick is 0.42 mm deep: as much is lost at one side, at the most over the width.
            let lost = left - nicked_left;
            assert!(
                (-0.01 * left..0.42 * 2.0 * (radius - width) + 0.01 * left).contains(&lost),
                "{lost}"
            );
        }
    }

    /// What the other ways say of an outline that is offset, or was before half-planes were.
    #[test]
    fn half_planes_say_what_an_offset_says_of_the_plates_that_people_draw() {
        let mm = Length::mm;
        let plates = [
            flatten::rounded_rectangle(mm(90.0), mm(60.0), mm(12.0), tolerance::MEASURE),
            flatten::rounded_rectangle(mm(90.0), mm(60.0), mm(30.0), tolerance::MEASURE),
            flatten::ellipse(mm(64.0), mm(52.0), tolerance::MEASURE),
            Ring::new(
                [(0.0, 0.0), (70.0, 0.0), (50.0, 40.0), (10.0, 38.0)]
                    .map(|(x, y)| Point::new(x, y))
                    .to_vec(),
            ),
        ];
        let mut n_half_planes = 0;
        for plate in plates {
            let shape = Shape::new(Region::new(plate, vec![]));
            for width in [2.0, 8.0, 11.9, 12.5, 15.0, 17.0, 22.0, 25.0] {
                let width = mm(width);
                let left = offset(shape.region(), -width, tolerance::MEASURE);
                let area: Area = left.iter().map(Region::area).sum();
                let length: Length = left.iter().map(Region::perimeter).sum();
                let got = shape.area() - mean_rim_length(&shape, width) * width;
                assert!((got - area).to_mm2().abs() < 1e-4, "{got:?}, {area:?}");
                assert!((inner_length(&shape, width) - length).to_mm().abs() < 1e-3, "{width:?}");
                let rings: Vec<Ring> = shape.region().rings().cloned().collect();
                n_half_planes += usize::from(way(&shape, &rings, width) == Way::HalfPlanes);
            }
        }
        assert!(n_half_planes > 4, "{n_half_planes}");
    }
}
