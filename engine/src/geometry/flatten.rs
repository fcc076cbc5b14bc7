//! Flattens closed curves to rings that stray from the true curve by no more than a given distance.
//!
//! Corners are placed a little outside the curve and the sides cut a little inside it, so that the error is
//! shared between both sides of the curve and fewer corners are needed. All rings are centred at the
//! origin and run counter-clockwise. A size that is not positive and finite gives an empty ring, which
//! `problems` reports; no input panics.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_8, PI};

use super::{Point, Ring, Vec2};
use crate::units::{Angle, Length};

pub use super::ellipse::ellipse;

/// Corners a flattened curve may have in each quarter, however fine the tolerance.
pub(super) const MOST_CORNERS_IN_A_QUARTER: u32 = 2048;

/// An upright rectangle.
#[must_use]
pub fn rectangle(width: Length, depth: Length) -> Ring {
    let Some((a, b)) = half_sizes(width, depth) else { return Ring::default() };
    Ring::new(vec![Point::new(-a, -b), Point::new(a, -b), Point::new(a, b), Point::new(-a, b)])
}

/// A regular polygon with its corners on a circle of diameter `across_corners` and a flat side to the front.
///
/// Fewer than three corners give an empty ring.
#[must_use]
pub fn regular_polygon(n_corners: u32, across_corners: Length) -> Ring {
    let radius = across_corners.to_mm() / 2.0;
    if n_corners < 3 || !is_size(radius) {
        return Ring::default();
    }
    let step = 2.0 * PI / f64::from(n_corners);
    let corner = |i| polar(radius, step * (f64::from(i) + 0.5) - FRAC_PI_2);
    Ring::new((0..n_corners).map(corner).collect())
}

/// A circle, true to `within` on both sides: the corners lie outside it by as much as the sides cut inside.
///
/// With `c = cos(pi/n)` corners at `2 r / (1 + c)` leave `r (1 - c) / (1 + c) = r tan²(pi / 2n)` either way.
#[must_use]
pub fn circle(diameter: Length, within: Length) -> Ring {
    let radius = diameter.to_mm() / 2.0;
    if !is_size(radius) {
        return Ring::default();
    }
    let half_step = libm::atan(share(within, radius).sqrt());
    let per_quarter = count(FRAC_PI_8 / half_step, 2);
    let step = FRAC_PI_2 / f64::from(per_quarter);
    let corner_radius = 2.0 * radius / (1.0 + libm::cos(step / 2.0));
    let quarter: Vec<Vec2> =
        (0..per_quarter).map(|i| polar(corner_radius, step * f64::from(i)).to_vec2()).collect();
    Ring::new(four_quarters(&quarter))
}

/// A rectangle with rounded corners; its straight sides are exact and its corners true to `within`.
///
/// A radius beyond half the shorter side is cut to that, which gives a slot; a radius of zero or less gives
/// the plain rectangle.
#[must_use]
pub fn rounded_rectangle(width: Length, depth: Length, radius: Length, within: Length) -> Ring {
    let Some((a, b)) = half_sizes(width, depth) else { return Ring::default() };
    let radius = radius.to_mm().min(a).min(b);
    if !is_size(radius) {
        return rectangle(width, depth);
    }
    let arc = tangent_arc(radius, FRAC_PI_2, within);
    let centers = [(a, b), (-a, b), (-a, -b), (a, -b)]
        .map(|(x, y)| Vec2::new(x - radius.copysign(x), y - radius.copysign(y)));
    let corners = (0..4).zip(centers).flat_map(|(quarter, center)| {
        arc.iter().map(move |&p| Point::ORIGIN + center + turned(p, quarter))
    });
    Ring::new(without_repeats(corners.collect()))
}

/// An arc about the origin from the x axis through `sweep` radians, whose first and last corner lie on the
/// tangents at its two ends. A sweep beyond half a turn has no such tangents and is not asked for.
///
/// The first corner stands where the tangent is `within` away from the circle, so the straight side that
/// ends there stays straight; in between, corners are `within` outside and sides at most `within` inside.
pub(super) fn tangent_arc(radius: f64, sweep: f64, within: Length) -> Vec<Vec2> {
    let error = share(within, radius);
    let corner_radius = radius * (1.0 + error);
    let first = libm::acos(1.0 / (1.0 + error));
    let rest = sweep - 2.0 * first;
    if rest <= 0.0 {
        return vec![Vec2::new(radius, radius * libm::tan(sweep / 2.0))];
    }
    let widest_step = 2.0 * libm::acos((1.0 - error) / (1.0 + error));
    let n_steps = count(rest / widest_step, 1);
    let step = rest / f64::from(n_steps);
    let between = (1..n_steps).map(|i| polar(corner_radius, first + step * f64::from(i)).to_vec2());
    let along = corner_radius * libm::sin(first);
    let end = Vec2::unit(Angle::radians(sweep));
    std::iter::once(Vec2::new(radius, along))
        .chain(between)
        .chain(std::iter::once(end * radius - end.left() * along))
        .collect()
}

/// The half sizes in millimetres, unless one is not positive and finite.
pub(super) fn half_sizes(width: Length, depth: Length) -> Option<(f64, f64)> {
    let (a, b) = (width.to_mm() / 2.0, depth.to_mm() / 2.0);
    (is_size(a) && is_size(b)).then_some((a, b))
}

fn is_size(value: f64) -> bool {
    value.is_finite() && value > 0.0
}

/// The tolerance as a share of the radius: at most a tenth, so that a coarse circle still looks like one,
/// and at least what the corner limit can do.
pub(super) fn share(within: Length, radius: f64) -> f64 {
    let share = within.to_mm() / radius;
    if share.is_nan() { 1e-7 } else { share.clamp(1e-7, 0.1) }
}

/// The next whole number, between `least` and the corner limit.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped to a few thousand before it is cast"
)]
pub(super) fn count(value: f64, least: u32) -> u32 {
    libm::ceil(value).clamp(f64::from(least), f64::from(MOST_CORNERS_IN_A_QUARTER)) as u32
}

fn polar(radius: f64, radians: f64) -> Point {
    Point::ORIGIN + Vec2::unit(Angle::radians(radians)) * radius
}

/// The displacement after so many quarter turns to the left.
fn turned(p: Vec2, quarters: u32) -> Vec2 {
    (0..quarters).fold(p, |p, _| p.left())
}

/// A whole turn from its first quarter (the y axis excluded), exactly alike in all four.
fn four_quarters(quarter: &[Vec2]) -> Vec<Point> {
    (0..4)
        .flat_map(|turns| quarter.iter().map(move |&p| Point::ORIGIN + turned(p, turns)))
        .collect()
}

/// The corners without those equal to the one before: a slot's arcs meet in a point.
fn without_repeats(mut corners: Vec<Point>) -> Vec<Point> {
    corners.dedup();
    corners
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(in crate::geometry) const TOLERANCES: [f64; 4] = [0.0005, 0.004, 0.02, 0.3];

    /// The least and the greatest signed distance of the ring from the curve, sampled densely along its sides.
    pub(in crate::geometry) fn strays(
        ring: &Ring,
        signed_distance: impl Fn(Point) -> f64,
    ) -> (f64, f64) {
        ring.sides()
            .flat_map(|(a, b)| (0..64).map(move |i| a + (b - a) * (f64::from(i) / 64.0)))
            .map(signed_distance)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| (low.min(d), high.max(d)))
    }

    pub(in crate::geometry) fn assert_straddles((low, high): (f64, f64), within: f64) {
        let slack = 1e-9;
        assert!(low >= -within - slack && high <= within + slack, "{low} to {high}, not {within}");
        assert!(low < 0.0 && high > 0.0, "{low} to {high} lies on one side");
    }

    #[test]
    fn a_circle_strays_to_both_sides_by_no_more_than_the_tolerance() {
        for diameter in [1.0, 35.0, 200.0, 1200.0] {
            for within in TOLERANCES {
                let ring = circle(Length::mm(diameter), Length::mm(within));
                let radius = diameter / 2.0;
                let bound = within.min(radius / 10.0);
                assert_straddles(strays(&ring, |p| p.to_vec2().length() - radius), bound);
                assert!(ring.signed_area() > 0.0);
            }
        }
    }

    #[test]
    fn a_circle_takes_fewer_corners_than_an_inscribed_one_by_the_root_of_two() {
        let ring = circle(Length::mm(200.0), Length::mm(0.004));
        // Inscribed: r (1 - cos(pi / n)) <= within needs n = 352; 352 / sqrt(2) = 249, whole in each quarter.
        assert_eq!(ring.points().len(), 252);
    }

    #[test]
    fn a_rounded_rectangle_keeps_its_sides_and_rounds_its_corners_within_the_tolerance() {
        let (a, b, radius) = (40.0, 25.0, 12.0);
        let signed = |p: Point| {
            let over =
                Vec2::new((p.x.abs() - (a - radius)).max(0.0), (p.y.abs() - (b - radius)).max(0.0));
            over.length() - radius
        };
        for within in TOLERANCES {
            let ring = rounded_rectangle(
                Length::mm(2.0 * a),
                Length::mm(2.0 * b),
                Length::mm(radius),
                Length::mm(within),
            );
            assert_straddles(strays(&ring, signed), within);
            let bounds = ring.bounds().unwrap();
            assert_eq!((bounds.max.x, bounds.max.y), (a, b));
        }
    }

    #[test]
    fn a_radius_beyond_half_the_side_gives_a_slot_and_none_gives_corners() {
        let (width, depth, within) = (Length::mm(60.0), Length::mm(20.0), Length::mm(0.004));
        let slot = rounded_rectangle(width, depth, Length::mm(99.0), within);
        let area = 40.0 * 20.0 + PI * 100.0;
        assert!((slot.signed_area() - area).abs() < 0.004 * slot.perimeter().to_mm());
        let plain = rounded_rectangle(width, depth, Length::ZERO, within);
        assert_eq!(plain, rectangle(width, depth));
    }

    #[test]
    fn a_regular_polygon_stands_on_a_flat_side() {
        let hexagon = regular_polygon(6, Length::mm(20.0));
        let bounds = hexagon.bounds().unwrap();
        assert!((bounds.min.y + 10.0 * (3.0_f64).sqrt() / 2.0).abs() < 1e-12);
        assert!((bounds.max.x - 10.0).abs() < 1e-12);
        assert!((hexagon.signed_area() - 150.0 * (3.0_f64).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn sizes_that_are_no_sizes_give_an_empty_ring() {
        let within = Length::mm(0.01);
        for size in [0.0, -3.0, f64::NAN, f64::INFINITY] {
            let size = Length::mm(size);
            for ring in [
                circle(size, within),
                ellipse(size, Length::mm(1.0), within),
                rectangle(Length::mm(1.0), size),
                rounded_rectangle(size, size, size, within),
                regular_polygon(5, size),
                regular_polygon(2, Length::mm(4.0)),
            ] {
                assert!(ring.points().is_empty());
            }
        }
    }

    #[test]
    fn no_tolerance_asks_for_more_corners_than_the_limit() {
        for within in [0.0, -1.0, f64::NAN, 1e-300, f64::INFINITY] {
            for ring in [
                circle(Length::mm(100.0), Length::mm(within)),
                ellipse(Length::mm(1e5), Length::mm(1e-3), Length::mm(within)),
                rounded_rectangle(
                    Length::mm(100.0),
                    Length::mm(50.0),
                    Length::mm(10.0),
                    Length::mm(within),
                ),
            ] {
                let n = ring.points().len();
                assert!((4..=4 * 2049).contains(&n), "{n} corners for {within}");
            }
        }
    }
}
