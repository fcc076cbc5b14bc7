//! A page: marks in millimetres from its lower left corner.

use crate::drawing::Mark;
use crate::geometry::Rect;
use crate::units::Length;

/// One sheet of paper and what is printed on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// The sheet's letter and number, or another short name.
    pub name: String,
    /// Left to right.
    pub width: Length,
    /// Bottom to top.
    pub height: Length,
    /// What is printed, lowest first.
    pub layers: Vec<Layer>,
}

/// Marks that share a window.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// The part of the page outside which these marks do not show; `None` for the whole page.
    pub window: Option<Rect>,
    /// The marks, in millimetres on the page.
    pub marks: Vec<Mark>,
}
