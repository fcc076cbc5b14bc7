//! The upper envelope of a mesh: what the sheet meets coming down, as heights on a grid.

use super::solid::Corner;
use super::stand::Standing;
use crate::geometry::HeightField;
use crate::units::Length;

/// Cells along the longer side of the bounds.
const CELLS: f64 = 1000.0;

/// Cells visited in one pass over all triangles; more, as from large triangles stacked, coarsen the grid.
const MOST_VISITS: f64 = 2e8;

/// The corners of a triangle of a standing mesh.
pub(super) type Triangle = [Corner; 3];

impl Standing {
    /// Its triangles by their corners.
    pub(super) fn triangles(&self) -> impl Iterator<Item = Triangle> + '_ {
        let corner =
            |index: u32| self.mesh.corners.get(index as usize).copied().unwrap_or_default();
        self.mesh.triangles.iter().map(move |triangle| triangle.map(corner))
    }

    /// The spacing at which one pass over the triangles is bounded.
    fn spacing(&self, wanted: Length) -> Length {
        let wanted = wanted.to_mm().max(0.01);
        let visits: f64 = self
            .triangles()
            .map(|triangle| {
                let span = |axis: usize| {
                    let [a, b, c] = triangle.map(|corner| corner[axis]);
                    a.max(b).max(c) - a.min(b).min(c)
                };
                (span(0) / wanted) * (span(1) / wanted)
            })
            .sum();
        Length::mm(wanted * (visits / MOST_VISITS).sqrt().max(1.0))
    }

    /// The upper envelope at a spacing, or at a coarser one when that would take too long.
    ///
    /// Cost: linear in the triangles and in the cells that they cover.
    #[must_use]
    pub fn heights(&self, spacing: Length) -> HeightField {
        let mut field = HeightField::flat(self.bounds, self.spacing(spacing));
        for triangle in self.triangles() {
            let frame = Frame::of(&field);
            frame.cells(&triangle, |cell, z| {
                let height = &mut field.heights_mut()[cell];
                *height = height.max(z);
            });
        }
        field
    }

    /// The envelope that the survey works on.
    pub(super) fn fine_heights(&self) -> HeightField {
        let longest = self.bounds.width().max(self.bounds.depth());
        self.heights(longest / CELLS)
    }
}

/// The grid of a field without its heights, so that the heights may change meanwhile.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    x: f64,
    y: f64,
    spacing: f64,
    columns: usize,
    rows: usize,
}

impl Frame {
    pub(super) fn of(field: &HeightField) -> Self {
        let first = field.middle(0, 0);
        Self {
            x: first.x,
            y: first.y,
            spacing: field.spacing().to_mm(),
            columns: field.columns(),
            rows: field.rows(),
        }
    }

    /// Calls `visit` with every cell whose middle a triangle covers, seen from above, and its height there.
    pub(super) fn cells(&self, triangle: &Triangle, mut visit: impl FnMut(usize, f32)) {
        let [a, b, c] = *triangle;
        let (ux, uy) = (b[0] - a[0], b[1] - a[1]);
        let (vx, vy) = (c[0] - a[0], c[1] - a[1]);
        let doubled = ux * vy - uy * vx;
        if doubled.abs() <= 0.0 {
            return;
        }
        let (low, high) = (a[1].min(b[1]).min(c[1]), a[1].max(b[1]).max(c[1]));
        let rows = range(low - self.y, high - self.y, self.spacing, self.rows);
        if rows.is_empty() {
            return;
        }
        let (rise_b, rise_c) = (b[2] - a[2], c[2] - a[2]);
        let slope_x = (rise_b * vy - rise_c * uy) / doubled;
        let slope_y = (rise_c * ux - rise_b * vx) / doubled;
        let (floor, ceiling) = (a[2].min(b[2]).min(c[2]), a[2].max(b[2]).max(c[2]));
        for row in rows {
            let y = self.y + self.spacing * count(row);
            let Some((left, right)) = span(triangle, y) else { continue };
            for column in range(left - self.x, right - self.x, self.spacing, self.columns) {
                let x = self.x + self.spacing * count(column);
                let z = a[2] + slope_x * (x - a[0]) + slope_y * (y - a[1]);
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "a height to a ten-millionth is enough"
                )]
                visit(row * self.columns + column, z.clamp(floor, ceiling) as f32);
            }
        }
    }
}

/// From where to where a line along x crosses a triangle.
fn span(triangle: &Triangle, y: f64) -> Option<(f64, f64)> {
    let (mut left, mut right) = (f64::INFINITY, f64::NEG_INFINITY);
    for (from, to) in [(0, 1), (1, 2), (2, 0)] {
        let (a, b) = (triangle[from], triangle[to]);
        let (a, b) = if a[1] <= b[1] { (a, b) } else { (b, a) };
        if a[1] <= y && y <= b[1] {
            let share = if b[1] > a[1] { (y - a[1]) / (b[1] - a[1]) } else { 0.0 };
            let x = a[0] + (b[0] - a[0]) * share;
            (left, right) = (left.min(x), right.max(x));
            if b[1] <= a[1] {
                (left, right) = (left.min(b[0]), right.max(b[0]));
            }
        }
    }
    (left <= right).then_some((left, right))
}

/// The whole steps from one distance to another.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "both ends are clamped to the cells of a row before they are cast"
)]
fn range(low: f64, high: f64, spacing: f64, most: usize) -> std::ops::Range<usize> {
    let first = libm::ceil(low / spacing).clamp(0.0, count(most)) as usize;
    let end = (libm::floor(high / spacing) + 1.0).clamp(0.0, count(most)) as usize;
    first..end.max(first)
}

fn count(value: usize) -> f64 {
    f64::from(u32::try_from(value).unwrap_or(u32::MAX))
}
