//! The map between a plane and its picture, from four places seen in it.

use super::solve::solve;
use crate::geometry::Point;

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

    /// Where a place goes.
    pub(super) fn apply(&self, p: Point) -> Point {
        let [a, b, c, d, e, f, g, h] = self.0;
        let w = g * p.x + h * p.y + 1.0;
        Point::new((a * p.x + b * p.y + c) / w, (d * p.x + e * p.y + f) / w)
    }
}
