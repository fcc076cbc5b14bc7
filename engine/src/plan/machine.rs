//! The vacuum former: its frame, its platen and what it clears.

use crate::geometry::{Point, Rect};
use crate::units::Length;

/// Width (left to right) and depth (front to back).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Left to right.
    pub width: Length,
    /// Front to back.
    pub depth: Length,
}

impl Size {
    /// A size from its two lengths.
    #[must_use]
    pub const fn new(width: Length, depth: Length) -> Self {
        Self { width, depth }
    }

    /// The rectangle of this size with its front left corner at the origin.
    #[must_use]
    pub const fn rect(self) -> Rect {
        Rect::sized(Point::ORIGIN, self.width, self.depth)
    }
}

/// One length for each side of the blank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sides {
    /// The side nearest the person.
    pub front: Length,
    /// The far side.
    pub back: Length,
    /// The left side.
    pub left: Length,
    /// The right side.
    pub right: Length,
}

impl Sides {
    /// The same length on each side.
    #[must_use]
    pub const fn all(length: Length) -> Self {
        Self { front: length, back: length, left: length, right: length }
    }
}

/// A vacuum former, seen from above with the blank's front left corner at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Machine {
    /// The blank that the frame takes.
    pub blank: Size,
    /// The strip along each edge of the blank that the frame covers.
    pub lip: Sides,
    /// The perforated bed, in the blank's coordinates.
    pub platen: Rect,
    /// The tallest mold, spacer included, that clears the sheet and the heater.
    pub clears: Length,
}

impl Machine {
    /// A former for `blank` with the same clamp lip all round and a platen as large as the opening.
    #[must_use]
    pub fn with_lip(blank: Size, lip: Length, clears: Length) -> Self {
        let mut machine = Self { blank, lip: Sides::all(lip), platen: blank.rect(), clears };
        machine.platen = machine.opening();
        machine
    }

    /// The blank less its clamp lips: the plastic that can move. Empty when the lips leave nothing.
    #[must_use]
    pub const fn opening(&self) -> Rect {
        let (width, depth) = (self.blank.width.to_mm(), self.blank.depth.to_mm());
        let left = self.lip.left.to_mm().min(width);
        let front = self.lip.front.to_mm().min(depth);
        Rect {
            min: Point::new(left, front),
            max: Point::new(
                (width - self.lip.right.to_mm()).max(left),
                (depth - self.lip.back.to_mm()).max(front),
            ),
        }
    }
}

impl Default for Machine {
    /// A bench former for a 12 x 16 in blank with the clamp bite of 15 mm (common practice: 12 to 25 mm).
    fn default() -> Self {
        Self::with_lip(
            Size::new(Length::inches(16.0), Length::inches(12.0)),
            Length::mm(15.0),
            Length::mm(150.0),
        )
    }
}
