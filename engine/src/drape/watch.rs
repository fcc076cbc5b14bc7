//! How a forecast tells where it stands, and how it is stopped.

use std::ops::ControlFlow;

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

/// Where a forecast stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// What is being done.
    pub phase: Phase,
    /// The share that is done, from 0 to 1; never falls.
    pub share: f64,
    /// The share of the blank's plastic that is in the sheet now: 1, or the computation has lost or made some.
    pub plastic: f64,
}

/// Somebody who is told where a forecast stands.
pub trait Watch {
    /// Hears the news; `Break` ends the forecast without an answer.
    fn tell(&mut self, progress: &Progress) -> ControlFlow<()>;
}

impl<F: FnMut(&Progress) -> ControlFlow<()>> Watch for F {
    fn tell(&mut self, progress: &Progress) -> ControlFlow<()> {
        self(progress)
    }
}

/// Nobody.
impl Watch for () {
    fn tell(&mut self, _: &Progress) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }
}
