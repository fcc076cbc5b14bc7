//! Why a link was not made or not opened: data first, words in `Display`.

use crate::edit::EditError;

/// Why a link was not made or not opened.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LinkError {
    /// Something else than a link.
    #[error("this is no link of Onepull; copy the whole link, from https:// to its last character")]
    NotALink,
    /// A version from the future.
    #[error(
        "the link was made by a newer Onepull (version {version}); this one reads up to 2: reload the page to get the newest"
    )]
    Newer {
        /// The version of the link.
        version: char,
    },
    /// Part of the link is missing at its end.
    #[error(
        "the link is cut short: {has} of its {wants} characters are here; copy it again whole, or ask for the saved file"
    )]
    CutShort {
        /// Characters after `#`.
        has: usize,
        /// Characters that it says it had.
        wants: usize,
    },
    /// The link has its length, but not the content it was made with.
    #[error("the link was damaged on its way; copy it again, or ask for the saved file")]
    Damaged,
    /// More text than any link has.
    #[error(
        "the link has {characters} characters, more than the {most} a link may have; share the saved file instead"
    )]
    TooLong {
        /// As given, or as it would be.
        characters: usize,
        /// The most that are read.
        most: usize,
    },
    /// More content than any link has.
    #[error(
        "the content of the link takes more than the {most} bytes a link may hold; share the saved file instead"
    )]
    TooLarge {
        /// The most that are unpacked.
        most: usize,
    },
    /// A value that no plan accepts.
    #[error("the plan of the link does not hold together: {0}")]
    Refused(#[from] EditError),
}
