//! Where the planning of a batch stands.

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Looks for layouts that need fewer pulls.
    Layouts,
    /// Asks what one more copy of a mold would save.
    Bottlenecks,
}

impl Phase {
    /// What is being done, in a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Layouts => "Looking for layouts that take fewer pulls",
            Self::Bottlenecks => "Asking what one more mold would save",
        }
    }
}

/// Where the planning of a batch stands. One that is stopped answers with what was found so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Steps done.
    pub done: u64,
    /// Steps there are at most; it may be over sooner.
    pub of: u64,
    /// What is being done.
    pub phase: Phase,
    /// The fewest pulls found so far of the sheet that is being planned; none until all its parts are covered.
    pub pulls: Option<u32>,
    /// No way takes fewer.
    pub at_least: u32,
    /// Layouts tried so far.
    pub tried: u32,
}
