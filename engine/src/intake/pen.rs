//! Draws lines and curves of a foreign drawing as corners in millimetres, within a tolerance and a budget.

use std::f64::consts::PI;

use super::Place;
use super::affine::Affine;
use crate::geometry::{Point, Vec2, tolerance};
use crate::plan::limits;

/// Corners one curve may be cut into, however large it is.
const MOST_STEPS: f64 = 4000.0;

/// A line of a drawing, open or closed, in millimetres.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) points: Vec<Point>,
    /// The file says that it ends where it begins.
    pub(super) is_closed: bool,
    /// An open line is closed with a straight side, because it is filled.
    pub(super) is_filled: bool,
    pub(super) name: String,
    pub(super) at: Place,
}

/// Draws one line after another; places are mapped, then cut to `IMPORT`.
#[derive(Debug)]
pub(super) struct Pen {
    pub(super) map: Affine,
    points: Vec<Point>,
    n_left: usize,
}

impl Pen {
    /// A pen that draws at most `n_most` corners in all.
    pub(super) const fn new(n_most: usize) -> Self {
        Self { map: Affine::IDENTITY, points: Vec::new(), n_left: n_most }
    }

    /// True when no corner may be drawn any more.
    pub(super) const fn is_spent(&self) -> bool {
        self.n_left == 0
    }

    /// What was drawn since the last call; `None` when a corner is no number or beyond the farthest coordinate.
    pub(super) fn take(&mut self) -> Option<Vec<Point>> {
        let points = std::mem::take(&mut self.points);
        let most = limits::COORDINATE.to_mm();
        let is_near = |p: &Point| p.x.abs() <= most && p.y.abs() <= most;
        points.iter().all(is_near).then_some(points)
    }

    /// A straight side to a place, or the first corner.
    pub(super) fn line(&mut self, to: Point) {
        self.push(self.map.place(to));
    }

    /// A cubic Bézier curve from a corner that has been drawn.
    ///
    /// Equal steps of the parameter keep within `M / 8 n²` of the curve, with `M` the largest second derivative
    /// (de Boor, A Practical Guide to Splines; from memory).
    pub(super) fn cubic(&mut self, from: Point, controls: [Point; 2], to: Point) {
        let [a, b, c, d] = [from, controls[0], controls[1], to].map(|p| self.map.place(p));
        let bend = |a: Point, b: Point, c: Point| ((a - b) + (c - b)).length();
        let most = 6.0 * bend(a, b, c).max(bend(b, c, d));
        let n = n_steps((most / (8.0 * tolerance::IMPORT.to_mm())).sqrt());
        for step in 1..n {
            let t = f64::from(step) / f64::from(n);
            let s = 1.0 - t;
            let away =
                (b - a) * (3.0 * s * s * t) + (c - a) * (3.0 * s * t * t) + (d - a) * (t * t * t);
            self.push(a + away);
        }
        self.push(d);
    }

    /// A quadratic Bézier curve from a corner that has been drawn.
    pub(super) fn quadratic(&mut self, from: Point, control: Point, to: Point) {
        let third = |end: Point| end + (control - end) * (2.0 / 3.0);
        self.cubic(from, [third(from), third(to)], to);
    }

    /// An arc `center + u cos t + v sin t` from one parameter through `sweep`, its first place left out.
    pub(super) fn arc(&mut self, center: Point, axes: [Vec2; 2], from: f64, sweep: f64) {
        let center = self.map.place(center);
        let [u, v] = axes.map(|axis| self.map.vector(axis));
        // No ellipse bends more than a circle of its larger axis drawn with the same steps.
        let radius = (u.dot(u) + v.dot(v)).sqrt();
        let step = (8.0 * tolerance::IMPORT.to_mm() / radius).sqrt().min(PI / 8.0);
        let n = n_steps(sweep.abs() / step);
        for step in 1..=n {
            let (sin, cos) = libm::sincos(from + sweep * f64::from(step) / f64::from(n));
            self.push(center + u * cos + v * sin);
        }
    }

    fn push(&mut self, p: Point) {
        if self.n_left > 0 {
            self.n_left -= 1;
            self.points.push(p);
        }
    }
}

/// The next whole number of steps, within what one curve may take.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped to a few thousand before it is cast"
)]
fn n_steps(value: f64) -> u32 {
    let value = if value.is_nan() { 1.0 } else { value };
    libm::ceil(value).clamp(1.0, MOST_STEPS) as u32
}
