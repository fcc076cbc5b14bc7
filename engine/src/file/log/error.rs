//! Why a text was not opened as a log: data first, words in `Display`.

use std::fmt;

use crate::record::{RecordError, limits};

/// Why a text was not opened as a log.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LogError {
    /// Nothing stands in the file.
    #[error("the file is empty; choose a log exported by Onepull")]
    Empty,
    /// More bytes than any log needs.
    #[error(
        "the file has {bytes} bytes, more than the {most} of the largest log; choose a log exported by Onepull"
    )]
    TooLarge {
        /// As given.
        bytes: usize,
        /// The most that are read.
        most: usize,
    },
    /// The text ends before the log does.
    #[error(
        "the file ends too early, at line {line}, column {column}: it was cut short; copy or download it again"
    )]
    CutShort {
        /// Where it ends, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
    },
    /// The text is no JSON.
    #[error(
        "line {line}, column {column} is no JSON ({what}); choose a log exported by Onepull, or correct that line"
    )]
    NotJson {
        /// Where, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
        /// What the JSON reader expected.
        what: String,
    },
    /// JSON, but of something else.
    #[error(
        "the file does not say \"onepull_log\" and a version, so it is no log of pulls; choose a log exported by Onepull"
    )]
    NotALog,
    /// A version from the future.
    #[error(
        "the log was made by a newer Onepull (version {version}); this one reads up to {reads}: reload the page to get the newest"
    )]
    Newer {
        /// The version of the file.
        version: u32,
        /// The newest version read.
        reads: u32,
    },
    /// A key that is unknown, missing or doubled, or a value of the wrong type.
    #[error("{at} (line {line}, column {column}): {what}; correct it, or export the log again")]
    Form {
        /// The path of the value, such as `pulls[3].gauge_mm`.
        at: String,
        /// Where it ends, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
        /// What the reader of the form expected.
        what: String,
    },
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
