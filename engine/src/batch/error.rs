//! Why no batch was planned: data first, words in `Display`.

/// Why a plan has no batch to be planned. Nothing was tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BatchError {
    /// No part is wanted.
    #[error("no part is wanted; say how many of each mold a kit holds")]
    Nothing,
    /// More kinds of parts than are planned at once.
    #[error(
        "{count} molds in one sheet are more than the {most} that are planned at once; plan them in two batches"
    )]
    TooManyKinds {
        /// How many it would be.
        count: usize,
        /// The most that are planned.
        most: usize,
    },
}
