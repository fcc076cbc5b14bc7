//! Why a text was not opened as a log: data first, words in `Display`.

use std::fmt;

use crate::file::unread::Unread;
use crate::record::{RecordError, limits};

/// Why a text was not opened as a log.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LogError {
    /// It is not the form of a log.
    #[error(transparent)]
    Unread(#[from] Unread),
    /// More pulls than a log holds.
    #[error("the file has {count} pulls, more than the {most} that a log holds; part it in two", most = limits::RECORDS)]
    TooMany {
        /// As given.
        count: usize,
    },
    /// Pulls that no log accepts.
    #[error("{}", told(problems, *count))]
    Refused {
        /// The first dozen.
        problems: Vec<LogProblem>,
        /// How many there are.
        count: usize,
    },
}

/// What is wrong with one pull.
#[derive(Clone, Debug, PartialEq)]
pub struct LogProblem {
    /// Which pull of the file, from 0.
    pub at: usize,
    /// What is wrong.
    pub error: RecordError,
}

impl fmt::Display for LogProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "pulls[{}]: {}", self.at, self.error)
    }
}

fn told(problems: &[LogProblem], count: usize) -> String {
    let words: Vec<String> = problems.iter().map(ToString::to_string).collect();
    let words = words.join(". ");
    match count.saturating_sub(problems.len()) {
        0 => words,
        more => format!("{words}. And {more} more"),
    }
}
