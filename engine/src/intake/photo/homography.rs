//! The map between a plane and its picture, from four places seen in it.

use super::solve::solve;
use crate::geometry::{Point, Vec2};

/// A projective map of the plane.
#[derive(Clone, Copy, Debug)]
pub(super) struct Homography([f64; 8]);

impl Homography {
    /// The map that takes four places to four others; `None` when three of them are on a line.
    ///
    /// **Source:** Hartley and Zisserman, Multiple View Geometry, 2nd ed., section 4.1 (from memory).
    pub(super) fn between(from: [Point; 4], to: [Point; 4]) -> Option<Self> {
        let mut rows = [[0.0; 8]; 8];
        let mut right = [0.0; 8];
        for (index, (p, q)) in from.into_iter().zip(to).enumerate() {
            rows[2 * index] = [p.x, p.y, 1.0, 0.0, 0.0, 0.0, -q.x * p.x, -q.x * p.y];
            rows[2 * index + 1] = [0.0, 0.0, 0.0, p.x, p.y, 1.0, -q.y * p.x, -q.y * p.y];
            (right[2 * index], right[2 * index + 1]) = (q.x, q.y);
        }
        solve(rows, right).map(Self)
    }

    /// The map that takes many places to others with the least sum of squared errors, as far as linear equations say.
    ///
    /// Both sides are measured in units of about their own size, or the equations would be badly conditioned.
    ///
    /// **Source:** the same, section 4.1.1 (from memory).
    pub(super) fn fitted(pairs: &[(Point, Point)], sizes: (f64, f64)) -> Option<Self> {
        let (from_size, to_size) = sizes;
        let mut sums = [[0.0; 8]; 8];
        let mut right = [0.0; 8];
        let mut add = |row: [f64; 8], value: f64| {
            for (index, left) in row.into_iter().enumerate() {
                for (entry, other) in sums[index].iter_mut().zip(row) {
                    *entry += left * other;
                }
                right[index] += left * value;
            }
        };
        for (p, q) in pairs {
            let (px, py) = (p.x / from_size, p.y / from_size);
            let (qx, qy) = (q.x / to_size, q.y / to_size);
            add([px, py, 1.0, 0.0, 0.0, 0.0, -qx * px, -qx * py], qx);
            add([0.0, 0.0, 0.0, px, py, 1.0, -qy * px, -qy * py], qy);
        }
        let [a, b, c, d, e, f, g, h] = solve(sums, right)?;
        let scale = to_size / from_size;
        Some(Self([
            a * scale,
            b * scale,
            c * to_size,
            d * scale,
            e * scale,
            f * to_size,
            g / from_size,
            h / from_size,
        ]))
    }

    /// The map followed by a shift and a change of size of the plane it leads to.
    pub(super) fn then(self, shift: Vec2, scale: f64) -> [[f64; 3]; 3] {
        let [a, b, c, d, e, f, g, h] = self.0;
        let row = |[x, y, z]: [f64; 3], by: f64| {
            [(x + by * g) * scale, (y + by * h) * scale, (z + by) * scale]
        };
        [row([a, b, c], shift.x), row([d, e, f], shift.y), [g, h, 1.0]]
    }

    /// Where a place goes.
    pub(super) fn apply(&self, p: Point) -> Point {
        let [a, b, c, d, e, f, g, h] = self.0;
        let w = g * p.x + h * p.y + 1.0;
        Point::new((a * p.x + b * p.y + c) / w, (d * p.x + e * p.y + f) / w)
    }
}
