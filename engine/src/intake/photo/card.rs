//! The card that a mold is photographed on: four marks at known places, each unlike the others.
//!
//! ```text
//! ########   A mark is a black square of four by four fields. Of the four in its middle none, one, two or three
//! ##  ####   are white, so the marks tell which corner of the card each is, and in which order they follow which
//! ########   card it is, and a mirrored picture from a true one.
//! ########
//! ```

use crate::geometry::{Point, Rect, Ring, Vec2};
use crate::units::Length;

/// Which paper the card is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Card {
    /// Marks for ISO A4.
    A4,
    /// Marks for US Letter.
    Letter,
}

/// One mark of a card.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CardMark {
    /// Its middle from the paper's lower left corner.
    pub middle: Point,
    /// How many of the four fields in its middle are white: those at the back left, back right and front right, in
    /// this order.
    pub n_white: usize,
}

impl CardMark {
    /// The side of a mark.
    pub const SIDE: Length = Length::mm(14.0);

    /// The outline of its white fields; `None` when all are black.
    #[must_use]
    pub fn window(&self) -> Option<Ring> {
        let corners: &[(f64, f64)] = match self.n_white {
            0 => return None,
            1 => &[(-1.0, 0.0), (0.0, 0.0), (0.0, 1.0), (-1.0, 1.0)],
            2 => &[(-1.0, 0.0), (1.0, 0.0), (1.0, 1.0), (-1.0, 1.0)],
            _ => &[(-1.0, 0.0), (0.0, 0.0), (0.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)],
        };
        let field = Self::SIDE.to_mm() / 4.0;
        let place = |&(x, y): &(f64, f64)| self.middle + Vec2::new(x, y) * field;
        Some(Ring::new(corners.iter().map(place).collect()))
    }

    /// The whole square.
    #[must_use]
    pub fn square(&self) -> Rect {
        let half = Self::SIDE.to_mm() / 2.0;
        let corner = Point::new(self.middle.x - half, self.middle.y - half);
        Rect::sized(corner, Self::SIDE, Self::SIDE)
    }
}

impl Card {
    /// Both cards.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The width and the height of its paper (ISO 216; ANSI/ASME Y14.1, size A).
    #[must_use]
    pub const fn paper(self) -> (Length, Length) {
        match self {
            Self::A4 => (Length::mm(210.0), Length::mm(297.0)),
            Self::Letter => (Length::inches(8.5), Length::inches(11.0)),
        }
    }

    /// From the middle of one mark to the next, across and up the paper.
    #[must_use]
    pub const fn apart(self) -> (Length, Length) {
        match self {
            Self::A4 => (Length::mm(170.0), Length::mm(250.0)),
            Self::Letter => (Length::mm(180.0), Length::mm(240.0)),
        }
    }

    /// Its marks: back left, back right, front right, front left.
    #[must_use]
    pub fn marks(self) -> [CardMark; 4] {
        let ((width, height), (across, up)) = (self.paper(), self.apart());
        let (x, y) = (across.to_mm() / 2.0, up.to_mm() / 2.0);
        let middle = Point::new(width.to_mm() / 2.0, height.to_mm() / 2.0);
        let n_white = match self {
            Self::A4 => [3, 2, 1, 0],
            Self::Letter => [2, 3, 1, 0],
        };
        let corners = [(-x, y), (x, y), (x, -y), (-x, -y)];
        [0, 1, 2, 3].map(|index| CardMark {
            middle: Point::new(middle.x + corners[index].0, middle.y + corners[index].1),
            n_white: n_white[index],
        })
    }
}
