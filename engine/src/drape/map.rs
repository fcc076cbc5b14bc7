//! The forecast as seen from above: what is said of each cell of a grid.

use super::forecast::{Contact, Sheet};
use super::ground::to_f32;
use crate::geometry::{Point, Rect};
use crate::units::Length;

/// What the map says of one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// What is left of the gauge where the sheet over this place is thinnest.
    pub ratio: f64,
    /// The largest share of its width that the sheet over this place loses in folds.
    pub surplus: f64,
    /// How high the sheet lies, where it is highest.
    pub height: Length,
    /// What it has landed on, where it is highest.
    pub contact: Contact,
}

/// The sheet as seen from above the opening: cells in rows from front to back, each row from left to right.
///
/// A wall stands over few cells, so each cell tells of the thinnest sheet over it. All lists are as long as there are
/// cells.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// What the cells cover, in the coordinates of the blank.
    pub bounds: Rect,
    /// Cells in a row.
    pub columns: usize,
    /// How many rows.
    pub rows: usize,
    /// What is left of the gauge.
    pub ratios: Vec<f32>,
    /// What is lost in folds.
    pub surplus: Vec<f32>,
    /// How high the sheet lies, in millimetres.
    pub heights: Vec<f32>,
    /// What it has landed on.
    pub contacts: Vec<Contact>,
}

impl Map {
    /// The sheet seen from above, in so many columns and rows over the opening.
    pub(super) fn of(sheet: &Sheet, bounds: Rect, [columns, rows]: [usize; 2]) -> Self {
        let count = columns * rows;
        let mut map = Self {
            bounds,
            columns,
            rows,
            ratios: vec![f32::INFINITY; count],
            surplus: vec![0.0; count],
            heights: vec![f32::NEG_INFINITY; count],
            contacts: vec![Contact::Nothing; count],
        };
        for triangle in &sheet.triangles {
            map.add(sheet, *triangle);
        }
        map.fill();
        map
    }

    /// The reading at a place of the blank; none outside the opening.
    #[must_use]
    pub fn at(&self, place: Point) -> Option<Reading> {
        let index = self.index(place)?;
        Some(Reading {
            ratio: f64::from(*self.ratios.get(index)?),
            surplus: f64::from(*self.surplus.get(index)?),
            height: Length::mm(f64::from(*self.heights.get(index)?)),
            contact: *self.contacts.get(index)?,
        })
    }

    /// The width and the depth of a cell.
    #[must_use]
    pub fn cell(&self) -> [Length; 2] {
        [
            self.bounds.width() / index_to_f64(self.columns),
            self.bounds.depth() / index_to_f64(self.rows),
        ]
    }

    /// The middle of a cell.
    #[must_use]
    pub fn middle(&self, column: usize, row: usize) -> Point {
        let [width, depth] = self.cell();
        Point::new(
            self.bounds.min.x + (index_to_f64(column) + 0.5) * width.to_mm(),
            self.bounds.min.y + (index_to_f64(row) + 0.5) * depth.to_mm(),
        )
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the cells there are"
    )]
    fn index(&self, place: Point) -> Option<usize> {
        if !self.bounds.contains(place) {
            return None;
        }
        let [width, depth] = self.cell();
        let along = |distance: f64, cell: Length, count: usize| {
            (distance / cell.to_mm()).clamp(0.0, index_to_f64(count) - 0.5) as usize
        };
        let column = along(place.x - self.bounds.min.x, width, self.columns);
        let row = along(place.y - self.bounds.min.y, depth, self.rows);
        Some(row * self.columns + column)
    }

    /// Tells the cells below a triangle of places spread over it, closer than the cells are wide.
    fn add(&mut self, sheet: &Sheet, triangle: [u32; 3]) {
        let corners = triangle.map(|node| node as usize);
        let [a, b, c] = corners.map(|node| sheet.positions[node].map(f64::from));
        let [width, depth] = self.cell().map(Length::to_mm);
        let apart = |p: [f64; 3], q: [f64; 3]| {
            ((p[0] - q[0]).abs() / width).max((p[1] - q[1]).abs() / depth)
        };
        let widest = apart(a, b).max(apart(b, c)).max(apart(c, a));
        let steps = steps_for(widest);
        let values = corners.map(|node| f64::from(sheet.thickness[node]));
        let folds = corners.map(|node| f64::from(sheet.surplus[node]));
        // Middles of small triangles, which no border of a cell passes through: so it does not matter which side of a
        // border counts, and what is symmetric stays so.
        let share = |index: u32| (f64::from(index) + 1.0 / 3.0) / f64::from(steps);
        for i in 0..steps {
            for j in 0..steps - i {
                let (u, v) = (share(i), share(j));
                let mix = |p: f64, q: f64, r: f64| p + (q - p) * u + (r - p) * v;
                let at = Point::new(mix(a[0], b[0], c[0]), mix(a[1], b[1], c[1]));
                let Some(index) = self.index(at) else { continue };
                let ratio = to_f32(mix(values[0], values[1], values[2]));
                let fold = to_f32(mix(folds[0], folds[1], folds[2]));
                self.ratios[index] = self.ratios[index].min(ratio);
                self.surplus[index] = self.surplus[index].max(fold);
                let height = to_f32(mix(a[2], b[2], c[2]));
                if height > self.heights[index] {
                    self.heights[index] = height;
                    let nearest = if u + v < 0.5 {
                        0
                    } else if u >= v {
                        1
                    } else {
                        2
                    };
                    self.contacts[index] = sheet.contact[corners[nearest]];
                }
            }
        }
    }

    /// Gives a cell that no sheet was found over what its neighbour has.
    fn fill(&mut self) {
        for index in 0..self.ratios.len() {
            if self.ratios[index].is_finite() {
                continue;
            }
            let first = self.ratios.iter().position(|ratio| ratio.is_finite()).unwrap_or(index);
            let from = if index > 0 { index - 1 } else { first };
            self.ratios[index] =
                if self.ratios[from].is_finite() { self.ratios[from] } else { 1.0 };
            self.surplus[index] = self.surplus[from];
            self.heights[index] = self.heights[from].max(0.0);
            self.contacts[index] = self.contacts[from];
        }
    }
}

/// Steps along a side of a triangle that is so many cells wide.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn steps_for(widest: f64) -> u32 {
    (3.0 * widest + 1.0).clamp(2.0, 400.0) as u32
}

/// A count as a number.
#[inline(always)]
pub(super) fn index_to_f64(index: usize) -> f64 {
    f64::from(u32::try_from(index).unwrap_or(u32::MAX))
}
