//! Reliefs as whole numbers and back, in both versions of links.

use std::sync::Arc;

use super::compact::{Heights, Relief, Relief2};
use super::pack::{micrometres, millidegrees, thousandths};
use super::unpack::{angle, length, one};
use crate::plan::{self, HeightGrid, Mold, Step, edge_most, wall_run};
use crate::units::{Angle, Length};

/// Cells along either side of the heights that a link keeps: some 600 characters a mold.
pub(super) const MOST_CELLS: usize = 24;

/// A version's reliefs.
pub(super) trait Says: Sized {
    /// The relief of a mold; `None` when this version does not know it.
    fn of(mold: &Mold) -> Option<Self>;

    /// The relief; `None` when it makes none.
    fn into_model(self) -> Option<plan::Relief>;
}

impl Says for Relief {
    fn of(mold: &Mold) -> Option<Self> {
        match &mold.relief {
            plan::Relief::FlatTop { edge } => (*edge <= Length::ZERO).then_some(Self::FlatTop),
            plan::Relief::Dome => Some(Self::Dome),
            plan::Relief::Taper { top } => Some(Self::Taper(thousandths(*top))),
            plan::Relief::Stepped { .. } | plan::Relief::Heights(_) => None,
        }
    }

    fn into_model(self) -> Option<plan::Relief> {
        Some(match self {
            Self::FlatTop => plan::Relief::FLAT,
            Self::Dome => plan::Relief::Dome,
            Self::Taper(top) => plan::Relief::Taper { top: one(top) },
        })
    }
}

impl Says for Relief2 {
    fn of(mold: &Mold) -> Option<Self> {
        Some(match &mold.relief {
            plan::Relief::FlatTop { edge } if *edge <= Length::ZERO => Self::FlatTop,
            plan::Relief::FlatTop { edge } => {
                let most = edge_most(rounded(mold.height), rounded_angle(mold.draft));
                Self::RoundedTop(micrometres(*edge).min(down(most)))
            }
            plan::Relief::Dome => Self::Dome,
            plan::Relief::Taper { top } => Self::Taper(thousandths(*top)),
            plan::Relief::Stepped { steps } => Self::Stepped(packed_steps(steps, mold.draft)),
            plan::Relief::Heights(grid) => Self::Heights(packed_grid(&grid.coarser(MOST_CELLS))),
        })
    }

    fn into_model(self) -> Option<plan::Relief> {
        Some(match self {
            Self::FlatTop => plan::Relief::FLAT,
            Self::Dome => plan::Relief::Dome,
            Self::Taper(top) => plan::Relief::Taper { top: one(top) },
            Self::RoundedTop(edge) => plan::Relief::FlatTop { edge: length(edge) },
            Self::Stepped(steps) => {
                let step = |[height, inset]: [i32; 2]| Step {
                    height: length(height),
                    inset: length(inset),
                };
                plan::Relief::Stepped { steps: steps.into_iter().map(step).collect() }
            }
            Self::Heights(heights) => plan::Relief::Heights(Arc::new(unpacked_grid(&heights)?)),
        })
    }
}

/// A length as it comes back from a link.
fn rounded(value: Length) -> Length {
    length(micrometres(value))
}

fn rounded_angle(value: Angle) -> Angle {
    angle(millidegrees(value))
}

/// The most micrometres that are no longer than a length.
fn down(most: Length) -> i32 {
    let near = micrometres(most);
    if length(near) > most { near - 1 } else { near }
}

/// Steps whose insets do not come to lie within the wall below by rounding.
fn packed_steps(steps: &[Step], draft: Angle) -> Vec<[i32; 2]> {
    let draft = rounded_angle(draft);
    let (mut below, mut begins) = (Length::ZERO, Length::ZERO);
    let mut packed = Vec::with_capacity(steps.len());
    for step in steps {
        let height = rounded(step.height);
        let least = begins + wall_run(height - below, draft);
        let mut inset = micrometres(step.inset);
        if length(inset) < least {
            inset = -down(-least);
        }
        packed.push([micrometres(step.height), inset]);
        (below, begins) = (height, length(inset));
    }
    packed
}

/// What a cell's neighbours to the left and in front lead to: a plane through the three before it.
fn led_to(tenths: &[i32], columns: usize, cell: usize) -> i32 {
    let (row, column) = (cell / columns, cell % columns);
    let left = if column > 0 { tenths[cell - 1] } else { 0 };
    let front = if row > 0 { tenths[cell - columns] } else { 0 };
    match (column, row) {
        (0, _) => front,
        (_, 0) => left,
        _ => left.saturating_add(front).saturating_sub(tenths[cell - columns - 1]),
    }
}

fn packed_grid(grid: &HeightGrid) -> Heights {
    let tenths: Vec<i32> = grid.tenths().iter().map(|&tenths| i32::from(tenths)).collect();
    let rest = (0..tenths.len()).map(|cell| tenths[cell] - led_to(&tenths, grid.columns(), cell));
    let side = |n: usize| u8::try_from(n).unwrap_or(u8::MAX);
    Heights {
        columns: side(grid.columns()),
        rows: side(grid.rows()),
        height: micrometres(grid.height()),
        rest: rest.collect(),
    }
}

fn unpacked_grid(heights: &Heights) -> Option<HeightGrid> {
    let (columns, rows) = (usize::from(heights.columns), usize::from(heights.rows));
    let is_whole = columns > 0 && heights.rest.len() == columns * rows;
    let mut tenths = Vec::with_capacity(if is_whole { columns * rows } else { 0 });
    for (cell, rest) in heights.rest.iter().enumerate().take_while(|_| is_whole) {
        let value = led_to(&tenths, columns, cell).checked_add(*rest)?;
        // What is no height ends it here, before sums of it can overflow.
        u16::try_from(value).ok()?;
        tenths.push(value);
    }
    let tenths = tenths.into_iter().map(|value| u16::try_from(value).ok());
    HeightGrid::new(columns, rows, length(heights.height), tenths.collect::<Option<_>>()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grid_comes_back_and_a_wrong_one_makes_none() {
        let tenths = vec![0, 5, 9, 0, 65_535, 12, 3, 3, 3, 3, 0, 1];
        let grid = HeightGrid::new(4, 3, Length::mm(30.0), tenths).expect("whole");
        let packed = packed_grid(&grid);
        assert_eq!(unpacked_grid(&packed).as_ref(), Some(&grid));
        for wrong in [
            Heights { columns: 3, ..packed_grid(&grid) },
            Heights { columns: 0, rows: 0, rest: vec![], ..packed_grid(&grid) },
            Heights { rest: vec![i32::MAX; 12], ..packed_grid(&grid) },
            Heights { rest: vec![-1; 12], ..packed_grid(&grid) },
        ] {
            assert_eq!(unpacked_grid(&wrong), None);
        }
    }
}
