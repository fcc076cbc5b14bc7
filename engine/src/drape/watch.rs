//! Where a forecast stands.

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// The frame comes down over the molds.
    Draping,
    /// The vacuum draws the sheet to molds and bed.
    Drawing,
    /// The formed sheet is measured.
    Measuring,
}

impl Phase {
    /// What is being done, in a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Draping => "The frame comes down",
            Self::Drawing => "The vacuum draws the sheet down",
            Self::Measuring => "Measuring the formed sheet",
        }
    }
}

/// Where a forecast stands. One that is stopped has no answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// What is being done.
    pub phase: Phase,
    /// The share that is done, from 0 to 1; never falls.
    pub share: f64,
    /// The share of the blank's plastic that is in the sheet now: 1, or the computation has lost or made some.
    pub plastic: f64,
}
