//! Flattens ellipses, with corners where the curve bends.

use std::f64::consts::FRAC_PI_2;

use super::flatten::{MOST_CORNERS_IN_A_QUARTER, count, half_sizes, share};
use super::{Point, Ring, Vec2};
use crate::units::{Angle, Length};

/// An ellipse, true to `within` on both sides, with its corners closest where it bends most.
#[must_use]
pub fn ellipse(width: Length, depth: Length, within: Length) -> Ring {
    let Some((a, b)) = half_sizes(width, depth) else { return Ring::default() };
    let curve = Ellipse { a, b };
    let error = share(within, a.max(b)) * a.max(b);
    let marched = curve.march(2.0 * error);
    let least = count(marched.n_steps, 2);
    let corners = (least..MOST_CORNERS_IN_A_QUARTER)
        .find_map(|n| curve.quarter(&marched.spread(n), error))
        .unwrap_or_else(|| curve.corners(&marched.spread(MOST_CORNERS_IN_A_QUARTER), error));
    Ring::new(four_mirrors(&corners))
}

/// An ellipse by its half sizes; the parameter runs from 0 on the x axis to a quarter turn on the y axis.
struct Ellipse {
    a: f64,
    b: f64,
}

impl Ellipse {
    /// A tuple of the point and the outward normal of length one at a parameter.
    fn at(&self, parameter: f64) -> (Vec2, Vec2) {
        let (sin, cos) = Angle::radians(parameter).sin_cos();
        let normal = Vec2::new(self.b * cos, self.a * sin);
        (Vec2::new(self.a * cos, self.b * sin), normal / normal.length())
    }

    /// How far the curve rises above its chord, per `2 sin²(step / 4)`: the support in the normal's direction.
    fn rise(&self, parameter: f64) -> f64 {
        let (point, normal) = self.at(parameter);
        point.dot(normal)
    }

    /// Parameters from 0 to beyond a quarter turn, each chord `height` below the curve.
    fn march(&self, height: f64) -> March {
        let mut parameters = vec![0.0];
        let mut last = 0.0;
        let most = 2 * MOST_CORNERS_IN_A_QUARTER as usize;
        while last < FRAC_PI_2 && parameters.len() <= most {
            last += self.step(last, height);
            parameters.push(last);
        }
        let n_whole = parameters.len() - 2;
        let before = parameters[n_whole];
        let n_steps = count_to_f64(n_whole) + (FRAC_PI_2 - before) / (last - before);
        March { parameters, n_steps }
    }

    /// The step from `start` whose chord lies `height` below the curve; the middle is found by iteration.
    fn step(&self, start: f64, height: f64) -> f64 {
        (0..4).fold(0.0, |step, _| {
            let share = height / (2.0 * self.rise(start + step / 2.0));
            (4.0 * libm::asin(share.sqrt().min(1.0))).min(FRAC_PI_2)
        })
    }

    /// The first quarter's corners at the parameters, or `None` when a side would stray by more than `error`.
    fn quarter(&self, parameters: &[f64], error: f64) -> Option<Vec<Vec2>> {
        let heights = parameters.windows(2).map(|pair| self.height(pair[0], pair[1]));
        let out = heights.clone().fold(0.0, f64::max) / 2.0;
        let is_true = out <= error
            && parameters.windows(2).zip(heights).all(|(pair, height)| {
                let cos = self.at(pair[0]).1.dot(self.at((pair[0] + pair[1]) / 2.0).1);
                let other = self.at(pair[1]).1.dot(self.at((pair[0] + pair[1]) / 2.0).1);
                height - out * cos.min(other) <= error
            });
        is_true.then(|| self.corners(parameters, out))
    }

    /// How far the curve rises above the chord between two parameters.
    fn height(&self, from: f64, to: f64) -> f64 {
        let sin = libm::sin((to - from) / 4.0);
        2.0 * sin * sin * self.rise((from + to) / 2.0)
    }

    /// The points at the parameters, moved out along the normal.
    fn corners(&self, parameters: &[f64], out: f64) -> Vec<Vec2> {
        parameters
            .iter()
            .map(|&parameter| {
                let (point, normal) = self.at(parameter);
                point + normal * out
            })
            .collect()
    }
}

/// Parameters of chords that are equally good, and how many such steps make a quarter turn.
struct March {
    parameters: Vec<f64>,
    n_steps: f64,
}

impl March {
    /// `n + 1` parameters from 0 to a quarter turn, spread as the marched ones are.
    fn spread(&self, n: u32) -> Vec<f64> {
        let mut spread: Vec<f64> =
            (0..n).map(|i| self.read(self.n_steps * f64::from(i) / f64::from(n))).collect();
        spread.push(FRAC_PI_2);
        spread
    }

    /// The parameter after a broken number of steps.
    fn read(&self, steps: f64) -> f64 {
        let whole = (count(libm::floor(steps), 0) as usize).min(self.parameters.len() - 2);
        let (low, high) = (self.parameters[whole], self.parameters[whole + 1]);
        low + (high - low) * (steps - count_to_f64(whole))
    }
}

/// A count of corners as a number; every count here is a few thousand at most.
fn count_to_f64(value: usize) -> f64 {
    f64::from(u32::try_from(value).unwrap_or(u32::MAX))
}

/// A whole turn from its first quarter (both axes included), mirrored exactly at both axes.
fn four_mirrors(quarter: &[Vec2]) -> Vec<Point> {
    let last = quarter.len() - 1;
    let right_to_back = quarter[..last].iter().map(|p| Point::new(p.x, p.y));
    let back_to_left = quarter[1..].iter().rev().map(|p| Point::new(-p.x, p.y));
    let left_to_front = quarter[..last].iter().map(|p| Point::new(-p.x, -p.y));
    let front_to_right = quarter[1..].iter().rev().map(|p| Point::new(p.x, -p.y));
    right_to_back.chain(back_to_left).chain(left_to_front).chain(front_to_right).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::flatten::circle;
    use crate::geometry::flatten::tests::{TOLERANCES, assert_straddles, strays};

    /// The distance of a point from an ellipse by ternary search over the quarter that faces it.
    fn from_ellipse(p: Point, a: f64, b: f64) -> f64 {
        let (x, y) = (p.x.abs(), p.y.abs());
        let square = |t: f64| Vec2::new(x - a * libm::cos(t), y - b * libm::sin(t)).length();
        let coarse = (0..=200)
            .map(|i| f64::from(i) * FRAC_PI_2 / 200.0)
            .min_by(|s, t| square(*s).total_cmp(&square(*t)))
            .unwrap();
        let (mut low, mut high) = (coarse - 0.01, coarse + 0.01);
        for _ in 0..80 {
            let (s, t) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if square(s) < square(t) { high = t } else { low = s }
        }
        let is_inside = (x / a) * (x / a) + (y / b) * (y / b) < 1.0;
        if is_inside { -square(low) } else { square(low) }
    }

    #[test]
    fn an_ellipse_strays_to_both_sides_by_no_more_than_the_tolerance() {
        for (width, depth) in
            [(100.0, 60.0), (60.0, 100.0), (200.0, 5.0), (30.0, 30.0), (900.0, 1.5)]
        {
            for within in TOLERANCES {
                let ring = ellipse(Length::mm(width), Length::mm(depth), Length::mm(within));
                assert_straddles(
                    strays(&ring, |p| from_ellipse(p, width / 2.0, depth / 2.0)),
                    within,
                );
                assert!(ring.signed_area() > 0.0);
            }
        }
    }

    #[test]
    fn a_long_ellipse_takes_fewer_corners_than_the_circle_round_it() {
        let within = Length::mm(0.004);
        let around = circle(Length::mm(200.0), within).points().len();
        let long = ellipse(Length::mm(200.0), Length::mm(20.0), within).points().len();
        let round = ellipse(Length::mm(200.0), Length::mm(200.0), within).points().len();
        assert!(long * 3 < around * 2, "{long} against {around}");
        assert!(round <= around + 4, "{round} against {around}");
    }
}
