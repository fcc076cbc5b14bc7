//! A sheet cut up: a tree in which every cut parts one rectangle into two.

use super::cutting::length;
use crate::geometry::{Point, Rect};
use crate::plan::Size;
use crate::units::Area;

/// Which way a cut runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// From front to back, at a distance from the left edge.
    FrontToBack,
    /// From left to right, at a distance from the front edge.
    LeftToRight,
}

/// What becomes of a rectangle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// One of the sizes that are wanted, by its number, and whether it lies turned.
    Blank(usize, bool),
    /// What is left over.
    Offcut,
    /// It is parted.
    Cut(Box<Parting>),
}

/// A rectangle parted by one cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parting {
    pub(super) axis: Axis,
    /// The first part's width or depth in micrometres.
    pub(super) at: i64,
    pub(super) first: Part,
    pub(super) second: Part,
}

/// A part where it lies on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlacedPart {
    /// Its place, from the sheet's front left corner.
    pub rect: Rect,
    /// The number of the size it is, or nothing for an offcut.
    pub blank: Option<usize>,
    /// Whether it lies turned.
    pub is_turned: bool,
}

/// One sheet cut up.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// The sheet.
    pub sheet: Size,
    /// What becomes of it.
    pub root: Part,
    pub(super) kerf: i64,
    /// The sheet in micrometres.
    pub(super) whole: (i64, i64),
}

/// A rectangle in micrometres: left, front, width, depth.
pub(super) type Cell = (i64, i64, i64, i64);

impl Pattern {
    /// All blanks and offcuts, in the order that the cuts free them.
    #[must_use]
    pub fn parts(&self) -> Vec<PlacedPart> {
        let mut parts = Vec::new();
        self.visit(&mut |part, cell| {
            let (blank, is_turned) = match part {
                Part::Blank(index, is_turned) => (Some(*index), *is_turned),
                Part::Offcut => (None, false),
                Part::Cut(_) => return,
            };
            parts.push(PlacedPart { rect: rect(cell), blank, is_turned });
        });
        parts
    }

    /// How many blanks of a size come out.
    #[must_use]
    pub fn count(&self, size: usize) -> u32 {
        let found = self.parts().iter().filter(|part| part.blank == Some(size)).count();
        u32::try_from(found).unwrap_or(u32::MAX)
    }

    /// What becomes blanks.
    #[must_use]
    pub fn used(&self) -> Area {
        let blanks = self.parts().into_iter().filter(|part| part.blank.is_some());
        blanks.map(|part| part.rect.area()).sum()
    }

    /// Shows every part with its cell, a parted one before what it is parted into.
    pub(super) fn visit(&self, see: &mut dyn FnMut(&Part, Cell)) {
        walk(&self.root, (0, 0, self.whole.0, self.whole.1), self.kerf, see);
    }
}

fn walk(part: &Part, cell: Cell, kerf: i64, see: &mut dyn FnMut(&Part, Cell)) {
    see(part, cell);
    let Part::Cut(parting) = part else { return };
    let (first, second) = halves(parting, cell, kerf);
    walk(&parting.first, first, kerf, see);
    walk(&parting.second, second, kerf, see);
}

/// The two cells that a cut leaves.
pub(super) const fn halves(
    parting: &Parting,
    (left, front, width, depth): Cell,
    kerf: i64,
) -> (Cell, Cell) {
    let at = parting.at;
    match parting.axis {
        Axis::FrontToBack => {
            ((left, front, at, depth), (left + at + kerf, front, width - at - kerf, depth))
        }
        Axis::LeftToRight => {
            ((left, front, width, at), (left, front + at + kerf, width, depth - at - kerf))
        }
    }
}

/// A cell in millimetres.
pub(super) fn rect((left, front, width, depth): Cell) -> Rect {
    let corner = Point::new(length(left).to_mm(), length(front).to_mm());
    Rect::sized(corner, length(width.max(0)), length(depth.max(0)))
}
