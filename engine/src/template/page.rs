//! A page: marks in millimetres from its lower left corner.

use crate::drawing::{Mark, lettering};
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

/// What heads a page: the plan and the pull.
#[derive(Clone, Debug)]
pub(super) struct Head {
    pub(super) plan: String,
    pub(super) pull: String,
}

impl Head {
    /// Both names in one line; when it is too long the plan's is cut first, because sheets of one plan meet.
    pub(super) fn within(&self, size: Length, width: Length) -> String {
        let pull = lettering::shortened(&self.pull, size, width / 2.0);
        let dash = " \u{2013} ";
        let room = width - lettering::width(dash, size) - lettering::width(&pull, size);
        format!("{}{dash}{pull}", lettering::shortened(&self.plan, size, room))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_head_keeps_the_name_of_the_pull() {
        let head = Head { plan: "Tide-pool kit ".repeat(6), pull: "Pull 2".to_owned() };
        let (size, width) = (Length::mm(3.5), Length::mm(80.0));
        let text = head.within(size, width);
        assert!(text.ends_with("\u{2026} \u{2013} Pull 2"), "{text}");
        assert!(lettering::width(&text, size) <= width);
    }
}
