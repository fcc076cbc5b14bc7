//! Heights of a mold that no simple relief describes, on a grid small enough to be saved and sent.

use super::limits;
use crate::units::Length;

/// Heights of cells that part the upright bounds of a footprint evenly.
///
/// Cells stand in rows from front to back, each row from left to right. The grid is stretched over whatever bounds
/// and height the mold has, as a dome is, so that it fits when they are changed. Heights are whole tenths of a
/// millimetre; 0 where nothing stands.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightGrid {
    columns: usize,
    rows: usize,
    height: Length,
    tenths: Vec<u16>,
}

impl HeightGrid {
    /// A grid for a mold that was `height` tall when its cells were measured.
    ///
    /// `None` when a side has no cell or more than [`limits::GRID_SIDE`], or when there are not as many heights
    /// as cells.
    #[must_use]
    pub fn new(columns: usize, rows: usize, height: Length, tenths: Vec<u16>) -> Option<Self> {
        let is_side = |n: usize| (1..=limits::GRID_SIDE).contains(&n);
        let is_whole = is_side(columns) && is_side(rows) && tenths.len() == columns * rows;
        is_whole.then_some(Self { columns, rows, height, tenths })
    }

    /// Cells in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// How many rows.
    #[must_use]
    pub const fn rows(&self) -> usize {
        self.rows
    }

    /// How tall the mold was that the cells were measured on.
    #[must_use]
    pub const fn height(&self) -> Length {
        self.height
    }

    /// All heights in tenths of a millimetre, row by row.
    #[must_use]
    pub fn tenths(&self) -> &[u16] {
        &self.tenths
    }

    /// The same grid of a mold that was another height; cells keep theirs.
    #[must_use]
    pub fn with_height(&self, height: Length) -> Self {
        Self { height, ..self.clone() }
    }

    /// The height in millimetres at shares of the bounds, from 0 to 1: between the middles of the four nearest
    /// cells, those left out where nothing stands.
    #[must_use]
    pub fn at(&self, (across, back): (f64, f64)) -> f64 {
        let (column, right) = between(across, self.columns);
        let (row, behind) = between(back, self.rows);
        let (mut sum, mut weights) = (0.0, 0.0);
        for (row, part) in [(row, 1.0 - behind), (row + 1, behind)] {
            for (column, share) in [(column, 1.0 - right), (column + 1, right)] {
                let column = column.min(self.columns - 1);
                let tenths = self.tenths[row.min(self.rows - 1) * self.columns + column];
                if tenths > 0 {
                    sum += f64::from(tenths) / 10.0 * part * share;
                    weights += part * share;
                }
            }
        }
        if weights > 0.0 { sum / weights } else { 0.0 }
    }

    /// The grid with at most so many cells a side: each new cell is the mean of what stands in it.
    #[must_use]
    pub fn coarser(&self, most: usize) -> Self {
        let (columns, rows) = (self.columns.min(most.max(1)), self.rows.min(most.max(1)));
        let mut tenths = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                let whole = |n: usize, of: usize, into: usize| {
                    (n * of / into, ((n + 1) * of).div_ceil(into))
                };
                let (front, back) = whole(row, self.rows, rows);
                let (left, right) = whole(column, self.columns, columns);
                let cells = (front..back).flat_map(|r| (left..right).map(move |c| (r, c)));
                tenths.push(mean(cells.map(|(r, c)| self.tenths[r * self.columns + c])));
            }
        }
        Self { columns, rows, height: self.height, tenths }
    }
}

/// The mean of the heights that are not 0, or 0 when most are.
fn mean(cells: impl Iterator<Item = u16>) -> u16 {
    let (mut n, mut n_standing, mut sum) = (0_u32, 0_u32, 0_u32);
    for tenths in cells {
        n += 1;
        n_standing += u32::from(tenths > 0);
        sum += u32::from(tenths);
    }
    let mean = (sum + n_standing / 2).checked_div(n_standing).unwrap_or(0);
    if 2 * n_standing < n { 0 } else { u16::try_from(mean).unwrap_or(u16::MAX) }
}

/// The cell whose middle lies before a share of a side, and how far on towards the next the share is.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped to the cells of a side before it is cast"
)]
fn between(share: f64, n: usize) -> (usize, f64) {
    let most = f64::from(u32::try_from(n - 1).unwrap_or(u32::MAX));
    let at = (share * (most + 1.0) - 0.5).clamp(0.0, most);
    let cell = libm::floor(at);
    (cell as usize, at - cell)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(columns: usize, rows: usize, tenths: &[u16]) -> HeightGrid {
        HeightGrid::new(columns, rows, Length::mm(10.0), tenths.to_vec()).expect("whole")
    }

    #[test]
    fn heights_run_straight_between_middles_and_nothing_does_not_pull_them_down() {
        let slope = grid(4, 1, &[10, 20, 30, 40]);
        for (share, height) in [(0.0, 1.0), (0.125, 1.0), (0.25, 1.5), (0.5, 2.5), (1.0, 4.0)] {
            assert!((slope.at((share, 0.3)) - height).abs() < 1e-12, "{share}");
        }
        let cliff = grid(2, 2, &[0, 50, 0, 50]);
        assert!((cliff.at((0.4, 0.5)) - 5.0).abs() < 1e-12);
        assert!(grid(1, 1, &[0]).at((0.5, f64::NAN)).abs() < 1e-12);
    }

    #[test]
    fn a_coarser_grid_keeps_means_and_a_small_one_stays() {
        let fine = grid(4, 2, &[10, 20, 0, 0, 30, 40, 0, 8]);
        assert_eq!(fine.coarser(2).tenths(), &[15, 0, 35, 4 * 2]);
        assert_eq!(fine.coarser(1).tenths(), &[22]);
        assert_eq!(fine.coarser(96), fine);
        let odd = grid(3, 1, &[10, 20, 30]);
        assert_eq!(odd.coarser(2).coarser(2), odd.coarser(2));
    }

    #[test]
    fn a_grid_that_is_not_whole_or_too_large_is_none() {
        let new = |columns, rows, n| HeightGrid::new(columns, rows, Length::mm(1.0), vec![0; n]);
        assert!(new(0, 0, 0).is_none() && new(2, 2, 5).is_none());
        assert!(new(97, 1, 97).is_none() && new(96, 96, 96 * 96).is_some());
    }
}
