//! A drawing onto paper: full-size sheets to set the molds by, and the bench card.
//!
//! Everything on a page is in millimetres from its lower left corner, at true size: a length on the blank has
//! the same length on the paper. Exports turn pages into bytes and add nothing.

mod correction;
mod error;
mod page;

mod tiling;

mod frame;
mod seams;

mod sheets;

mod flow;

mod setting_table;

mod card;

mod card_batch;

mod cut_list;

mod photo_card;

pub use card::bench_card;
pub use correction::{CORRECTION_BAR, Correction, Printer};
pub use cut_list::cut_list;
pub use error::TemplateError;
pub use page::{Layer, Page};
pub use photo_card::photo_card;
pub use sheets::{Template, template};

use crate::heat::Heater;
use crate::units::Length;

/// The paper a template is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// US Letter, 8.5 x 11 in.
    Letter,
    /// ISO 216 A4, 210 x 297 mm.
    A4,
    /// One sheet as large as the blank needs, for a copy shop.
    One,
}

impl Paper {
    /// All papers, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Letter, Self::A4, Self::One];

    /// The short side and the long side; `None` for the one sheet that fits the blank.
    ///
    /// **Source**: ANSI/ASME Y14.1 size A (8.5 x 11 in); ISO 216:2007, table 1 (A4, 210 x 297 mm).
    #[must_use]
    pub const fn sides(self) -> Option<[Length; 2]> {
        match self {
            Self::Letter => Some([Length::inches(8.5), Length::inches(11.0)]),
            Self::A4 => Some([Length::mm(210.0), Length::mm(297.0)]),
            Self::One => None,
        }
    }

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Letter => "Letter",
            Self::A4 => "A4",
            Self::One => "One large sheet",
        }
    }
}

/// The least and the largest overlap: below it the match marks would not lie on both sheets.
const OVERLAP: (Length, Length) = (Length::mm(6.0), Length::mm(25.0));
/// The least and the largest margin of the printer.
const MARGIN: (Length, Length) = (Length::mm(3.0), Length::mm(25.0));
/// How a template is made. The date and the link are words, because the engine has neither clock nor address.
#[derive(Clone, Debug, PartialEq)]
pub struct TemplateSettings {
    /// What it is printed on.
    pub paper: Paper,
    /// How much of the blank two neighbouring sheets both show; 6 to 25 mm.
    pub overlap: Length,
    /// The edge of the paper that the printer cannot reach; 3 to 25 mm.
    pub margin: Length,
    /// The printer it is corrected for, if any.
    pub printer: Option<Printer>,
    /// Whether the template shows locating corners.
    pub corners: bool,
    /// The day it was made, as it shall be printed.
    pub date: String,
    /// The address that opens the plan again, if it shall be printed on the bench card.
    pub link: Option<String>,
    /// What the bench card says beyond the plan.
    pub notes: BenchNotes,
}

/// What a bench card says beyond the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BenchNotes {
    /// The heater, as far as it is known.
    pub heater: Heater,
    /// How many logged pulls it is known from.
    pub logged: usize,
}

impl TemplateSettings {
    /// The usual template: 10 mm of overlap and a margin of 10 mm, which clears the edge that any common
    /// printer leaves white (common practice).
    #[must_use]
    pub fn new(paper: Paper, date: &str) -> Self {
        Self {
            paper,
            overlap: Length::mm(10.0),
            margin: Length::mm(10.0),
            printer: None,
            corners: false,
            date: date.to_owned(),
            link: None,
            notes: BenchNotes::default(),
        }
    }

    /// Refuses lengths that no printer or pair of hands could use.
    fn check(&self) -> Result<(), TemplateError> {
        within("overlap", self.overlap, OVERLAP)?;
        within("margin", self.margin, MARGIN)
    }
}

fn within(
    what: &'static str,
    value: Length,
    (least, most): (Length, Length),
) -> Result<(), TemplateError> {
    if least <= value && value <= most {
        Ok(())
    } else {
        Err(TemplateError::LengthOutside { what, value, least, most })
    }
}
