//! The tree of cuts of a rectangle, from what was found best for it and for all that it is parted into.

use super::measures::Along;
use super::tree::{Axis, Part, Parting};

/// What is done with a rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum How {
    /// Nothing comes out of it.
    Waste,
    /// It is a blank of this number, and whether it lies turned.
    Blank(usize, bool),
    /// It is parted at the split of this number, and which of their ways the two parts are cut.
    Cut(Axis, usize, (usize, usize)),
}

/// Rectangles by the numbers of their measures, each with the ways it can be cut.
pub(super) struct Grow<'a> {
    pub(super) widths: &'a Along,
    pub(super) depths: &'a Along,
    pub(super) kerf: i64,
    /// What is done with a rectangle when it is cut in the way of this number.
    pub(super) how: &'a dyn Fn((usize, usize), usize) -> How,
}

impl Grow<'_> {
    /// The tree of a rectangle that is at least as large as the one looked at; what is over is cut off first.
    pub(super) fn part(
        &self,
        cell: (usize, usize),
        way: usize,
        (width, depth): (i64, i64),
    ) -> Part {
        let (w, d) = (self.widths.values[cell.0], self.depths.values[cell.1]);
        let how = (self.how)(cell, way);
        if how == How::Waste {
            return Part::Offcut;
        }
        let parted = |axis: Axis, at: i64, first: Part, second: Part| {
            Part::Cut(Box::new(Parting { axis, at: at - self.kerf, first, second }))
        };
        if width > w {
            let kept = self.part(cell, way, (w, depth));
            return parted(Axis::FrontToBack, w, kept, Part::Offcut);
        }
        if depth > d {
            return parted(Axis::LeftToRight, d, self.part(cell, way, (w, d)), Part::Offcut);
        }
        let next = |cell: Option<(usize, usize)>, way: usize, measures: (i64, i64)| {
            cell.map_or(Part::Offcut, |cell| self.part(cell, way, measures))
        };
        match how {
            How::Waste => Part::Offcut,
            How::Blank(index, is_turned) => Part::Blank(index, is_turned),
            How::Cut(Axis::FrontToBack, k, ways) => {
                let (first, second, at) = self.widths.splits[cell.0][k];
                let first = self.part((first, cell.1), ways.0, (at, d));
                let second = next(second.map(|second| (second, cell.1)), ways.1, (w - at, d));
                parted(Axis::FrontToBack, at, first, second)
            }
            How::Cut(Axis::LeftToRight, k, ways) => {
                let (first, second, at) = self.depths.splits[cell.1][k];
                let first = self.part((cell.0, first), ways.0, (w, at));
                let second = next(second.map(|second| (cell.0, second)), ways.1, (w, d - at));
                parted(Axis::LeftToRight, at, first, second)
            }
        }
    }
}
