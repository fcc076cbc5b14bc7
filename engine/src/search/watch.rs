//! How much is to be searched, and where a search stands.

use crate::geometry::Pose;

/// Where the random numbers of a search begin: the same seed finds the same answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Seed(pub u64);

/// How much is searched at most.
///
/// A step is one place tried for one item against all others, never a time, so that an answer does not depend on
/// the machine. A few million pass in a second. The count is looked at between moves of items: a search may end up
/// to some ten thousand steps late.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// The most steps.
    pub steps: u64,
}

/// Where a search stands: told a few times in every hundred thousand steps. A search that is stopped keeps its best layout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress<'a> {
    /// Steps done.
    pub done: u64,
    /// Steps there are.
    pub of: u64,
    /// What the best layout so far lacks, in millimetres summed over pairs and rooms; zero when it lacks nothing.
    pub shortfall: f64,
    /// The best layout so far.
    pub best: &'a [Pose],
}
