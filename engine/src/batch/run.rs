//! One run through a budget: counts the steps of layouts and of counting, passes the news on, remembers a stop.

use super::{Phase, Progress};
use crate::search::Budget;
use crate::watch::Watch;

/// Entries of a tableau that take as long as one step of a search for places.
const ENTRIES_A_STEP: u64 = 400;

/// A budget being spent.
pub(super) struct Run<'w> {
    watch: &'w mut dyn Watch<Progress>,
    pub(super) phase: Phase,
    pub(super) steps: u64,
    of: u64,
    /// The steps that what is done now may come to.
    pub(super) until: u64,
    pub(super) is_stopped: bool,
    /// Layouts tried.
    pub(super) tried: u32,
    pub(super) pulls: Option<u32>,
    pub(super) at_least: u32,
}

impl<'w> Run<'w> {
    pub(super) fn new(budget: Budget, watch: &'w mut dyn Watch<Progress>) -> Self {
        let of = budget.steps;
        let phase = Phase::Layouts;
        let (pulls, at_least) = (None, 0);
        Self { watch, phase, steps: 0, of, until: of, is_stopped: false, tried: 0, pulls, at_least }
    }

    /// Steps that are left for what is done now; none after a stop.
    pub(super) fn left(&self) -> u64 {
        if self.is_stopped { 0 } else { self.until.min(self.of).saturating_sub(self.steps) }
    }

    /// This part of all that is left, in hundredths.
    pub(super) const fn part(&self, per_cent: u64) -> u64 {
        self.of.saturating_sub(self.steps) / 100 * per_cent
    }

    /// Counts entries of tableaux.
    pub(super) const fn counted(&mut self, entries: u64) {
        self.steps = self.steps.saturating_add(entries / ENTRIES_A_STEP + 1);
    }

    /// Tells where it stands, `more` steps into a try, and listens for a stop.
    pub(super) fn tell(&mut self, more: u64) {
        let done = self.steps.saturating_add(more).min(self.of);
        let Self { of, phase, pulls, at_least, tried, .. } = *self;
        let news = Progress { done, of, phase, pulls, at_least, tried };
        self.is_stopped |= self.watch.tell(&news).is_break();
    }
}
