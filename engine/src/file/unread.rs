//! Why a text is not read as one of our own files, whatever the file would hold; and the reading up to there.

use std::marker::PhantomData;
use std::num::NonZeroU32;

use serde::Deserializer;
use serde::de::DeserializeOwned;
use serde_json::error::Category;

use super::object::{Form, Object};

/// The largest file read: the largest plan and the largest log within their limits need 12 million bytes each.
const MOST_BYTES: usize = 16 << 20;

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// A plan.
    Plan,
    /// A log of pulls.
    Log,
}

impl Holds {
    /// The key that such a file begins with.
    const fn key(self) -> &'static str {
        match self {
            Self::Plan => "onepull",
            Self::Log => "onepull_log",
        }
    }

    const fn noun(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::Log => "log",
        }
    }

    /// What such a file is, and is not mistaken for.
    const fn kind(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::Log => "log of pulls",
        }
    }

    /// What one chooses instead.
    const fn made(self) -> &'static str {
        match self {
            Self::Plan => "plan saved",
            Self::Log => "log exported",
        }
    }

    /// What one does to have it anew.
    const fn again(self) -> &'static str {
        match self {
            Self::Plan => "save the plan again",
            Self::Log => "export the log again",
        }
    }
}

/// Why a text is not read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unread {
    /// Nothing stands in the file.
    #[error("the file is empty; choose a {} by Onepull", .0.made())]
    Empty(Holds),
    /// More bytes than any needs.
    #[error("the file has {bytes} bytes, more than the {most} of the largest {}; choose a {} by Onepull", holds.noun(), holds.made())]
    TooLarge {
        /// What was wanted.
        holds: Holds,
        /// As given.
        bytes: usize,
        /// The most that are read.
        most: usize,
    },
    /// The text ends too early.
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
    #[error("line {line}, column {column} is no JSON ({what}); choose a {} by Onepull, or correct that line", holds.made())]
    NotJson {
        /// What was wanted.
        holds: Holds,
        /// Where, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
        /// What the JSON reader expected.
        what: String,
    },
    /// JSON, but of something else.
    #[error("the file does not say \"{}\" and a version, so it is no {}; choose a {} by Onepull", .0.key(), .0.kind(), .0.made())]
    OfSomethingElse(Holds),
    /// A version from the future.
    #[error("the {} was made by a newer Onepull (version {version}); this one reads up to {reads}: reload the page to get the newest", holds.noun())]
    Newer {
        /// What was wanted.
        holds: Holds,
        /// The version of the file.
        version: u32,
        /// The newest version read.
        reads: u32,
    },
    /// A key that is unknown, missing or doubled, or a value of the wrong type.
    #[error("{at} (line {line}, column {column}): {what}; correct it, or {}", holds.again())]
    Form {
        /// What was wanted.
        holds: Holds,
        /// The path of the value, such as `molds[3].height_mm`.
        at: String,
        /// Where it ends, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
        /// What the reader of the form expected.
        what: String,
    },
}

/// The text without a byte order mark, unless it is empty or too large.
pub(super) fn bounded(text: &str, holds: Holds) -> Result<&str, Unread> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > MOST_BYTES {
        return Err(Unread::TooLarge { holds, bytes: text.len(), most: MOST_BYTES });
    }
    if text.trim().is_empty() {
        return Err(Unread::Empty(holds));
    }
    Ok(text)
}

/// All that is read of a file before its version is known.
pub(super) trait Header: Form {
    /// The version, where the file says one.
    fn version(&self) -> Option<NonZeroU32>;
}

/// The version that a text says, once it is known to be JSON from its beginning to its end.
pub(super) fn version<H: Header>(text: &str, holds: Holds) -> Result<u32, Unread> {
    let mut json = serde_json::Deserializer::from_str(text);
    let header = json.deserialize_map(Object(PhantomData::<H>));
    let header = header.and_then(|header| json.end().map(|()| header)).map_err(|error| {
        let (line, column) = (error.line(), error.column());
        let is_object = text.trim_start().starts_with('{');
        match error.classify() {
            Category::Data if is_object => form(holds, holds.key(), &error),
            Category::Data => Unread::OfSomethingElse(holds),
            Category::Eof => Unread::CutShort { line, column },
            // A number cut after its sign is wrong rather than unfinished to the reader.
            _ if is_object && is_at_end(text, line, column) => Unread::CutShort { line, column },
            _ => Unread::NotJson { holds, line, column, what: what(&error) },
        }
    })?;
    header.version().map(NonZeroU32::get).ok_or(Unread::OfSomethingElse(holds))
}

/// The form that a text of a known version says, told with its path where it does not.
pub(super) fn read<T: DeserializeOwned>(text: &str, holds: Holds) -> Result<T, Unread> {
    let mut json = serde_json::Deserializer::from_str(text);
    serde_path_to_error::deserialize(&mut json).map_err(|error| {
        let path = error.path().to_string();
        let whole = format!("the {}", holds.noun());
        form(holds, if path == "." { &whole } else { &path }, error.inner())
    })
}

fn form(holds: Holds, at: &str, error: &serde_json::Error) -> Unread {
    let (line, column) = (error.line(), error.column());
    Unread::Form { holds, at: at.to_owned(), line, column, what: what(error) }
}

fn is_at_end(text: &str, line: usize, column: usize) -> bool {
    let mut lines = text.split('\n');
    let last_length = lines.next_back().map_or(0, str::len);
    column == last_length && line == lines.count() + 1
}

/// The reader's words without the place, which is data of its own.
fn what(error: &serde_json::Error) -> String {
    let words = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    words.strip_suffix(&place).unwrap_or(&words).to_owned()
}
