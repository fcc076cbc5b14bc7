//! One run through a budget: counts steps, passes the news on, remembers that it was stopped.

use super::scene::{Scene, Turning};
use super::{MoldCopy, Phase, Progress};
use crate::geometry::Pose;
use crate::search::{self, Budget, Placed, Random, Seed, place};
use crate::watch::Watch;

/// What measuring the distance of one pair counts, in steps: about as much time as so many places tried.
const STEPS_A_PAIR: u64 = 10;

/// What a search pays to know a pair of outlines turned against each other, in steps; a short search knows few.
const STEPS_A_TURNED_PAIR: u64 = 1000;

/// A budget being spent.
pub(super) struct Run<'w> {
    watch: &'w mut dyn for<'p> Watch<Progress<'p>>,
    pub(super) phase: Phase,
    pub(super) steps: u64,
    of: u64,
    pub(super) is_stopped: bool,
    pub(super) random: Random,
}

impl<'w> Run<'w> {
    pub(super) fn new(
        seed: Seed,
        budget: Budget,
        watch: &'w mut dyn for<'p> Watch<Progress<'p>>,
    ) -> Self {
        let random = Random::new(seed);
        let (phase, of) = (Phase::Placing, budget.steps);
        Self { watch, phase, steps: 0, of, is_stopped: false, random }
    }

    /// Steps that are left; none after a stop.
    pub(super) const fn left(&self) -> u64 {
        if self.is_stopped { 0 } else { self.of.saturating_sub(self.steps) }
    }

    pub(super) const fn is_over(&self) -> bool {
        self.left() == 0
    }

    /// This part of what is left, in hundredths.
    pub(super) const fn part(&self, per_cent: u64) -> u64 {
        self.left() / 100 * per_cent
    }

    /// Counts distances measured.
    pub(super) const fn measured(&mut self, n_pairs: u64) {
        self.steps = self.steps.saturating_add(n_pairs.saturating_mul(STEPS_A_PAIR));
    }

    /// Tells where it stands and listens for a stop.
    pub(super) fn tell(&mut self, scene: &Scene<'_>, poses: &[Pose]) {
        let shown = shown(scene, poses);
        let (done, of) = (self.steps.min(self.of), self.of);
        let news = Progress { done, of, phase: self.phase, poses: &shown };
        self.is_stopped |= self.watch.tell(&news).is_break();
    }

    /// Lets `search` look for places for at most `steps`; `None` when a body has no room at all.
    pub(super) fn place(
        &mut self,
        scene: &Scene<'_>,
        start: Option<&[Pose]>,
        (turning, extra): (Turning, f64),
        steps: u64,
    ) -> Option<Placed> {
        let problem = scene.problem(turning, extra)?;
        let budget = Budget { steps: steps.min(self.left()) };
        let seed = Seed(self.random.next());
        let Self { watch, phase, steps: before, of, is_stopped, .. } = self;
        let mut hears = |news: &search::Progress<'_>| {
            let shown = shown(scene, news.best);
            let done = before.saturating_add(news.done).min(*of);
            let told = watch.tell(&Progress { done, of: *of, phase: *phase, poses: &shown });
            *is_stopped |= told.is_break();
            told
        };
        let placed = place(&problem, start, seed, budget, &mut hears);
        // A search that had nothing to do counts too, so that no loop of searches is endless.
        let pairs = scene.n_turned_pairs(turning).saturating_mul(STEPS_A_TURNED_PAIR);
        let counted = placed.steps.saturating_add(pairs.min(placed.steps.saturating_mul(3)));
        self.steps = self.steps.saturating_add(counted.max(1));
        Some(placed)
    }
}

/// The poses of what may be moved, as the plan counts them.
fn shown(scene: &Scene<'_>, poses: &[Pose]) -> Vec<(MoldCopy, Pose)> {
    let bodies = scene.bodies.iter().zip(poses);
    bodies
        .filter(|(body, _)| !body.is_pinned)
        .map(|(body, &pose)| (body.copy, scene.frame.world(pose)))
        .collect()
}
