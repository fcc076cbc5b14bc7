//! The direction of a mold's long walls.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::geometry::{Ring, Shape};
use crate::units::Angle;

/// Walls that run one way less decidedly than this are the sides of a curve.
const SPEAKS: f64 = 0.5;
/// An outline so much longer than wide has a long side, however curved.
const IS_LONG: f64 = 1.2;

/// Which way the long walls of an outline run, up to quarter turns, and how decidedly.
///
/// Every side counts by the square of its length, so that long straight walls speak and the many short sides of a
/// curve do not. A quarter turn changes nothing, so directions are averaged as angles four times as large. Where no
/// walls speak, an outline clearly longer than wide runs along its principal axis; others run no way at all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Walls {
    /// From -90 to 90 degrees against the frame, unturned, in radians.
    direction: f64,
    /// From 0, no direction at all, to 1, all walls parallel or square to one another.
    pub(super) strength: f64,
}

impl Walls {
    /// The walls of a shape, holes included. Cost: linear in the corners.
    pub(super) fn of(shape: &Shape) -> Self {
        let straight = Self::straight(shape);
        let none = Self { direction: 0.0, strength: 0.0 };
        if straight.strength >= SPEAKS { straight } else { Self::axis(shape).unwrap_or(none) }
    }

    fn straight(shape: &Shape) -> Self {
        let (mut re, mut im, mut all) = (0.0, 0.0, 0.0);
        for (from, to) in shape.region().rings().flat_map(Ring::sides) {
            let along = to - from;
            let weight = along.dot(along);
            let fourfold = Angle::radians(4.0 * along.direction().to_radians());
            let (sin, cos) = fourfold.sin_cos();
            (re, im, all) = (re + weight * cos, im + weight * sin, all + weight);
        }
        let strength = if all > 0.0 { (re * re + im * im).sqrt() / all } else { 0.0 };
        Self { direction: libm::atan2(im, re) / 4.0, strength }
    }

    /// The principal axis of the outer outline, from its second moments; `None` when it is not clearly longer than
    /// wide.
    ///
    /// **Source:** Green's theorem for the moments of a polygon, as in C. Steger, On the calculation of arbitrary
    /// moments of polygons, technical report, TU Munich, 1996 (cited from memory).
    fn axis(shape: &Shape) -> Option<Self> {
        let (mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0);
        let centre = shape.centroid();
        for (from, to) in shape.region().outer.sides() {
            let (a, b) = (from - centre, to - centre);
            let cross = a.cross(b);
            xx += cross * (a.x * a.x + a.x * b.x + b.x * b.x) / 12.0;
            yy += cross * (a.y * a.y + a.y * b.y + b.y * b.y) / 12.0;
            xy += cross * (a.x * b.y + 2.0 * (a.x * a.y + b.x * b.y) + b.x * a.y) / 24.0;
        }
        let (mean, half) = ((xx + yy) / 2.0, (xx - yy) / 2.0);
        let apart = (half * half + xy * xy).sqrt();
        let longer = ((mean + apart) / (mean - apart)).sqrt();
        let is_long = longer.is_finite() && longer >= IS_LONG;
        is_long
            .then(|| Self { direction: libm::atan2(xy, half) / 2.0, strength: 1.0 - 1.0 / longer })
    }

    /// How far the walls of the shape turned by `turn` are from parallel to the frame: 0 to 45 degrees in radians.
    pub(super) fn out_of_square(self, turn: Angle) -> f64 {
        let off = libm::fmod(self.direction + turn.to_radians(), FRAC_PI_2);
        let off = if off < 0.0 { off + FRAC_PI_2 } else { off };
        off.min(FRAC_PI_2 - off)
    }

    /// The four turns that bring the walls along the frame; quarter turns when they run no way at all.
    pub(super) fn square_turns(self) -> [Angle; 4] {
        let first = -self.direction;
        [0.0, 1.0, 2.0, 3.0].map(|n| {
            let turn = Angle::radians(first + n * PI / 2.0).normalized();
            nearest_typed(turn)
        })
    }
}

/// The angle a person would have typed when it is as good as that: whole thousandths of a degree.
fn nearest_typed(turn: Angle) -> Angle {
    let typed = Angle::degrees(libm::round(turn.to_degrees() * 1e3) / 1e3);
    typed.normalized()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Pose, Region, flatten};
    use crate::units::Length;

    fn rectangle(turn: f64) -> Walls {
        let ring = flatten::rectangle(Length::mm(80.0), Length::mm(20.0));
        let pose = Pose::new(Point::ORIGIN, Angle::degrees(turn));
        Walls::of(&Shape::new(Region::new(ring, vec![]).placed(pose)))
    }

    #[test]
    fn a_rectangle_drawn_askew_is_squared_by_turning_it_back() {
        for turn in [0.0, 12.0, 45.0, 80.0, -30.0] {
            let walls = rectangle(turn);
            assert!((walls.strength - 1.0).abs() < 1e-9, "{walls:?}");
            for back in walls.square_turns() {
                assert!(walls.out_of_square(back) < 2e-5, "{turn}: {back:?}");
            }
            let askew = walls.out_of_square(walls.square_turns()[0] + Angle::degrees(10.0));
            assert!((askew - Angle::degrees(10.0).to_radians()).abs() < 2e-5);
        }
    }

    #[test]
    fn a_circle_has_no_direction_and_is_left_as_drawn() {
        let circle = flatten::circle(Length::mm(50.0), Length::mm(0.004));
        let walls = Walls::of(&Shape::new(Region::new(circle, vec![])));
        assert!(walls.strength.abs() < 1e-12, "{walls:?}");
        assert_eq!(walls.square_turns()[1], Angle::degrees(90.0));
    }

    #[test]
    fn an_ellipse_runs_along_its_long_axis() {
        let within = Length::mm(0.004);
        for (width, depth) in [(90.0, 40.0), (40.0, 90.0)] {
            let ring = flatten::ellipse(Length::mm(width), Length::mm(depth), within);
            for turn in [0.0, 25.0, 80.0, -40.0] {
                let pose = Pose::new(Point::ORIGIN, Angle::degrees(turn));
                let ellipse = Shape::new(Region::new(ring.clone(), vec![]).placed(pose));
                // The axes of an ellipse's moments are as its axes, 90 to 40.
                let axis = Walls::axis(&ellipse).expect("long");
                assert!((axis.strength - (1.0 - 40.0 / 90.0)).abs() < 1e-3, "{axis:?}");
                let walls = Walls::of(&ellipse);
                let off = walls.out_of_square(Angle::degrees(-turn));
                assert!(off < 1e-4, "{turn}: {walls:?}");
            }
        }
    }
}
