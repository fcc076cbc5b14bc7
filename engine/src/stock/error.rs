//! Why a sheet was not cut up: data first, words in `Display`.

use crate::units::{Length, LengthStyle};

/// Why a sheet was not cut up.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum StockError {
    /// A length that no sheet or blank has.
    #[error(
        "{what} measures {}; give a length from {} to {}",
        show(*.value), show(*.least), show(*.most)
    )]
    Length {
        /// Which.
        what: &'static str,
        /// What was given.
        value: Length,
        /// The least there may be.
        least: Length,
        /// The most there may be.
        most: Length,
    },
    /// Nothing is to be cut.
    #[error("no blank is asked for: give at least one size and a count")]
    Nothing,
    /// More sizes than are looked at.
    #[error("{count} sizes are asked for, and {most} is the most: cut them in several jobs")]
    TooManySizes {
        /// How many.
        count: usize,
        /// The most there may be.
        most: usize,
    },
    /// A size that no sheet holds.
    #[error("a blank of {} x {} does not come out of any sheet, whichever way it lies", show(*.width), show(*.depth))]
    TooLarge {
        /// Its width.
        width: Length,
        /// Its depth.
        depth: Length,
    },
    /// More blanks than are counted.
    #[error("{count} blanks are asked for, and {most} is the most: cut them in several jobs")]
    TooMany {
        /// How many.
        count: u64,
        /// The most there may be.
        most: u64,
    },
}

fn show(length: Length) -> String {
    LengthStyle::Millimetres.show(length)
}
