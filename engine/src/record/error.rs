//! Why a pull was not logged: data first, words in `Display`.

use super::logbook::RecordId;
use super::{Outcome, limits};
use crate::units::{Length, LengthStyle};

/// Why a pull was not logged, changed, removed or merged. The log is unchanged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RecordError {
    /// No pull of the log has this number.
    #[error("the log has no {0}; look at the list again")]
    NoSuchRecord(RecordId),
    /// The number is taken.
    #[error("the log has a {0} already; give it another number")]
    RecordExists(RecordId),
    /// A number that not every program can keep.
    #[error("{what} {value} is more than {most}; give it a smaller number", most = limits::ID_MOST)]
    IdTooLarge {
        /// Of what.
        what: &'static str,
        /// As given.
        value: u64,
    },
    /// More pulls than a log holds.
    #[error("a log holds {most} pulls, and these would be {count}; export it and remove old ones", most = limits::RECORDS)]
    TooMany {
        /// How many there would be.
        count: usize,
    },
    /// No moment.
    #[error("\"{0}\" is no date and time; write it as 2026-08-01 14:05")]
    NotAMoment(String),
    /// A text that is too long.
    #[error("{what} has {chars} characters, more than the {most} that fit; shorten it")]
    TooLong {
        /// Which text.
        what: &'static str,
        /// As given.
        chars: usize,
        /// The most that fit.
        most: usize,
    },
    /// A name without a visible character.
    #[error("{what} is empty; name it")]
    Nameless {
        /// What has no name.
        what: &'static str,
    },
    /// A number outside its range.
    #[error("{what} of {value} is outside {least} to {most}")]
    Outside {
        /// Which, with its unit.
        what: &'static str,
        /// As given.
        value: f64,
        /// The smallest accepted.
        least: f64,
        /// The largest accepted.
        most: f64,
    },
    /// A length outside its range.
    #[error("{what} of {value} is outside {least} to {most}",
        value = mm(*value), least = mm(*least), most = mm(*most))]
    LengthOutside {
        /// Which length.
        what: &'static str,
        /// As given.
        value: Length,
        /// The smallest accepted.
        least: Length,
        /// The largest accepted.
        most: Length,
    },
    /// A pull that is good and something else.
    #[error("a pull is either good or has something wrong with it; take back one of them")]
    GoodAndBad,
    /// An outcome that stands twice.
    #[error("\"{word}\" stands twice; say it once with all molds", word = .0.word())]
    SaidTwice(Outcome),
    /// More molds than are remembered.
    #[error("{count} molds are named with what went wrong, more than {most}; name fewer", most = limits::MOLDS)]
    TooManyMolds {
        /// As given.
        count: usize,
    },
}

fn mm(length: Length) -> String {
    LengthStyle::Millimetres.show_exact(length)
}
