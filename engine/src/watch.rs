//! How slow work tells where it stands, and how it is stopped.

use std::ops::ControlFlow;

/// Somebody who is told where a piece of work stands, in that work's own terms.
pub trait Watch<Progress> {
    /// Hears the news; `Break` ends the work early, and each work says what it then answers.
    fn tell(&mut self, progress: &Progress) -> ControlFlow<()>;
}

impl<Progress, F: FnMut(&Progress) -> ControlFlow<()>> Watch<Progress> for F {
    fn tell(&mut self, progress: &Progress) -> ControlFlow<()> {
        self(progress)
    }
}

/// Nobody: the work goes on to its end.
impl<Progress> Watch<Progress> for () {
    fn tell(&mut self, _: &Progress) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }
}
