//! What a reader returns: outlines in millimetres, problems, and what is known about the scale.

use super::{Place, Problem};
use crate::geometry::Region;
use crate::units::Length;

/// What was read of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The closed outlines, the largest first; islands within holes are outlines of their own.
    pub outlines: Vec<FoundOutline>,
    /// What could not be read or was changed in reading, in the order of the file as far as it has one.
    pub problems: Vec<Problem>,
    /// How the drawing's numbers became millimetres.
    pub scale: Scale,
}

/// One closed outline with its holes.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundOutline {
    /// What the file calls it, or `Outline 3`.
    pub name: String,
    /// In millimetres, y away from the person, in the drawing's own place.
    pub region: Region,
    /// Where in the file its outer outline stands.
    pub at: Place,
}

/// How a drawing's numbers became millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// The file, or the person, says what one unit of the drawing is.
    Known(SourceUnit),
    /// Nothing says it: the outlines are as if it were this, and the person should be asked. To answer, read
    /// the file again with the unit given.
    Asked(SourceUnit),
}

/// What one unit of a drawing stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SourceUnit {
    /// A thousandth of a millimetre.
    Micrometre,
    /// A thousandth of an inch.
    Mil,
    /// A CSS pixel: 1/96 inch (CSS Values and Units Module Level 3, section 5.2).
    Pixel,
    /// A point: 1/72 inch (the same).
    Point,
    /// 1/90 inch, the pixel of some drawing programs before 2017 (common practice).
    OldPixel,
    /// A pica: 12 points.
    Pica,
    /// A millimetre.
    Millimetre,
    /// A centimetre.
    Centimetre,
    /// An inch.
    Inch,
    /// A decimetre.
    Decimetre,
    /// A foot.
    Foot,
    /// A yard.
    Yard,
    /// A metre.
    Metre,
}

impl SourceUnit {
    /// All units, in the order of their size.
    pub const ALL: [Self; 13] = [
        Self::Micrometre,
        Self::Mil,
        Self::Pixel,
        Self::OldPixel,
        Self::Point,
        Self::Millimetre,
        Self::Pica,
        Self::Centimetre,
        Self::Inch,
        Self::Decimetre,
        Self::Foot,
        Self::Yard,
        Self::Metre,
    ];

    /// The units to offer when a drawing does not say its own, the likeliest first.
    pub const OFFERED: [Self; 6] =
        [Self::Millimetre, Self::Inch, Self::Centimetre, Self::Pixel, Self::Point, Self::OldPixel];

    /// How long one unit is.
    #[must_use]
    pub const fn length(self) -> Length {
        match self {
            Self::Micrometre => Length::mm(1e-3),
            Self::Mil => Length::inches(1e-3),
            Self::Pixel => Length::inches(1.0 / 96.0),
            Self::Point => Length::inches(1.0 / 72.0),
            Self::OldPixel => Length::inches(1.0 / 90.0),
            Self::Pica => Length::inches(1.0 / 6.0),
            Self::Millimetre => Length::mm(1.0),
            Self::Centimetre => Length::mm(10.0),
            Self::Inch => Length::inches(1.0),
            Self::Decimetre => Length::mm(100.0),
            Self::Foot => Length::inches(12.0),
            Self::Yard => Length::inches(36.0),
            Self::Metre => Length::mm(1000.0),
        }
    }

    /// The short sign: `mm`, `in`, `px`.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Micrometre => "um",
            Self::Mil => "mil",
            Self::Pixel => "px",
            Self::Point => "pt",
            Self::OldPixel => "px90",
            Self::Pica => "pc",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Inch => "in",
            Self::Decimetre => "dm",
            Self::Foot => "ft",
            Self::Yard => "yd",
            Self::Metre => "m",
        }
    }

    /// The unit with this sign.
    #[must_use]
    pub fn from_sign(sign: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.sign() == sign)
    }

    /// The unit as a person is asked about it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Micrometre => "micrometres",
            Self::Mil => "thousandths of an inch",
            Self::Pixel => "pixels, 96 to the inch",
            Self::Point => "points, 72 to the inch",
            Self::OldPixel => "pixels, 90 to the inch",
            Self::Pica => "picas, 6 to the inch",
            Self::Millimetre => "millimetres",
            Self::Centimetre => "centimetres",
            Self::Inch => "inches",
            Self::Decimetre => "decimetres",
            Self::Foot => "feet",
            Self::Yard => "yards",
            Self::Metre => "metres",
        }
    }
}

impl Scale {
    /// The unit that the outlines were read in.
    #[must_use]
    pub const fn unit(self) -> SourceUnit {
        match self {
            Self::Known(unit) | Self::Asked(unit) => unit,
        }
    }
}
