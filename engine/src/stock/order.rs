//! The cuts in the order that a person makes them, each measured from one edge of the piece in hand.

use super::cutting::length;
use super::tree::{Axis, Part, Pattern, rect};
use crate::geometry::Rect;
use crate::units::Length;

/// One cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// From 1.
    pub number: u32,
    /// The piece in hand, where it lay on the sheet.
    pub piece: Rect,
    /// Which way it runs.
    pub axis: Axis,
    /// The distance from the piece's left or front edge.
    pub mark: Length,
    /// How long it is.
    pub length: Length,
}

/// All cuts of a sheet: a piece is cut only after those that free it, so the sheet is whole for the longest.
#[must_use]
pub fn cuts_in_order(pattern: &Pattern) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = Vec::new();
    pattern.visit(&mut |part, cell| {
        let Part::Cut(parting) = part else { return };
        let across = match parting.axis {
            Axis::FrontToBack => cell.3,
            Axis::LeftToRight => cell.2,
        };
        let number = u32::try_from(cuts.len()).unwrap_or(u32::MAX).saturating_add(1);
        cuts.push(Cut {
            number,
            piece: rect(cell),
            axis: parting.axis,
            mark: length(parting.at),
            length: length(across),
        });
    });
    cuts
}
