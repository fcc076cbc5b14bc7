//! The search itself: moves of one item at a time, with weights on the pairs that resist.

use super::layout::{Layout, Stand};
use super::look::best_place;
use super::random::Random;
use super::settle::settle;
use super::verify::shortfall;
use super::{Budget, Problem, Progress, Seed};
use crate::geometry::{Point, Pose, Rect};
use crate::watch::Watch;

/// Passes without a better layout after which the search goes back to the best one and disturbs it.
const PATIENCE: u32 = 40;
/// Disturbed so many times, a search that may do so begins anew: the times that puzzles take have a long tail.
const STUCK_BEFORE_ANEW: u32 = 8;
/// All items are moved together when the layout lacks no more than so many times the best.
const SETTLE_WITHIN: f64 = 1.2;
/// One step in so many may go into moving all items together.
const SETTLE_SHARE: u64 = 5;
/// What all distances are widened by when the exact geometry finds one too small, in millimetres.
const WIDER: f64 = 1e-4;
/// What that costs in steps.
const STEPS_A_WIDENING: u64 = 1000;
/// What it costs to look at one item when all are moved together, in steps.
const STEPS_A_LOOK: u64 = 20;

/// How a search has ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ended {
    /// Nothing is lacking.
    Solved,
    /// It has gone back to its best layout as often as it may.
    Stuck,
    /// The budget is spent, or it was told to stop.
    Stopped,
}

/// A search under way.
pub(super) struct Hunt<'a> {
    problem: &'a Problem,
    pub(super) layout: Layout,
    pub(super) random: Random,
    budget: Budget,
    pub(super) steps: u64,
    pub(super) best: Vec<Pose>,
    best_total: f64,
    /// The layout to which the search goes back when it is stuck.
    anchor: Vec<Stand>,
    anchor_total: f64,
    /// Steps that went into moving all items together.
    settle_steps: u64,
}

impl<'a> Hunt<'a> {
    /// A search that begins with `start` where it says something about an item.
    pub(super) fn new(
        problem: &'a Problem,
        start: Option<&[Pose]>,
        seed: Seed,
        budget: Budget,
    ) -> Self {
        let layout = Layout::new(problem, start);
        Self {
            problem,
            best: layout.poses(),
            best_total: f64::INFINITY,
            anchor: layout.stands.clone(),
            anchor_total: f64::INFINITY,
            settle_steps: 0,
            layout,
            random: Random::new(seed),
            budget,
            steps: 0,
        }
    }

    /// Puts the items where `start` says, and the others one after the other, the largest first.
    pub(super) fn begin(&mut self, start: Option<&[Pose]>) {
        let given = |i: usize| start.and_then(|start| start.get(i)).filter(|pose| pose.is_finite());
        let mut waiting: Vec<usize> = Vec::new();
        for i in 0..self.layout.len() {
            if self.layout.pieces[i].is_pinned {
                continue;
            }
            if let Some(&pose) = given(i) {
                let stand = self.nearest_stand(i, pose);
                self.layout.put(i, stand);
            } else {
                waiting.push(i);
            }
        }
        let area = |i: usize| self.problem.items[i].shape.area().to_mm2();
        waiting.sort_by(|&i, &j| area(j).total_cmp(&area(i)).then(i.cmp(&j)));
        self.layout.set_out(&waiting);
        for i in waiting {
            self.layout.set_in(i);
            let seat = self.random.below(self.layout.pieces[i].seats.len());
            let stand = self.anywhere(i, seat);
            self.layout.put(i, stand);
            self.improve(i);
        }
        self.remember();
    }

    /// The allowed turn nearest to that of a pose, with the place moved into the room.
    fn nearest_stand(&self, i: usize, pose: Pose) -> Stand {
        let seats = &self.layout.pieces[i].seats;
        let off = |k: usize| {
            let off = (seats[k].turn - pose.turn).normalized().to_radians();
            off.min(std::f64::consts::TAU - off)
        };
        let seat = (0..seats.len()).min_by(|&a, &b| off(a).total_cmp(&off(b))).unwrap_or(0);
        Stand { seat, at: seats[seat].held(pose.at) }
    }

    fn anywhere(&mut self, i: usize, seat: usize) -> Stand {
        let Rect { min, max } = self.layout.pieces[i].seats[seat].reach;
        let at = Point::new(self.random.between(min.x, max.x), self.random.between(min.y, max.y));
        Stand { seat, at }
    }

    /// Moves an item to the best place found, if that is better than where it stands.
    fn improve(&mut self, i: usize) {
        let find = best_place(&mut self.layout, i, &mut self.random, &mut self.steps);
        if find.cost < self.layout.weighted(i) {
            self.layout.put(i, find.stand);
        }
    }

    /// Keeps the layout if it lacks less than the one to which the search goes back, or than any so far.
    fn remember(&mut self) -> bool {
        let total = self.layout.total();
        let is_better = total < self.anchor_total;
        if is_better {
            self.anchor_total = total;
            self.anchor.clone_from(&self.layout.stands);
        }
        if total < self.best_total {
            self.best_total = total;
            self.best = self.layout.poses();
        }
        is_better
    }

    /// True when the layout holds by the exact geometry.
    fn is_solved(&mut self) -> bool {
        if self.layout.total() > 0.0 {
            return false;
        }
        let poses = self.layout.poses();
        let is_solved = shortfall(self.problem, &poses) <= 0.0;
        if is_solved {
            self.best = poses;
            self.best_total = 0.0;
        } else {
            self.layout.widen(WIDER);
            // What the exact geometry will never grant must use up the budget too.
            self.steps += STEPS_A_WIDENING;
        }
        is_solved
    }

    /// True when moving all items together solves it; tried now and then, near to the best layout.
    fn is_settled(&mut self) -> bool {
        let is_near = self.layout.total() <= self.anchor_total * SETTLE_WITHIN;
        if !is_near || self.settle_steps * SETTLE_SHARE > self.steps {
            return false;
        }
        let poses = self.layout.poses();
        let settled = settle(self.problem, &poses);
        let steps = settled.n_looks * self.layout.len() as u64 * STEPS_A_LOOK;
        self.steps += steps;
        self.settle_steps += steps;
        let is_solved = settled.cost <= 0.0 && shortfall(self.problem, &settled.poses) <= 0.0;
        if is_solved {
            self.best = settled.poses;
            self.best_total = 0.0;
        }
        is_solved
    }

    /// Searches on until solved, and gives up when it is stuck for more than so many times.
    ///
    /// `is_anew` lets it begin from nothing when it comes back to the same layout over and over.
    pub(super) fn run(
        &mut self,
        n_tries: u32,
        is_anew: bool,
        watch: &mut dyn for<'p> Watch<Progress<'p>>,
    ) -> Ended {
        let (mut n_idle, mut n_stuck) = (0, 0);
        while !self.is_solved() && !self.is_settled() {
            if self.steps >= self.budget.steps {
                return Ended::Stopped;
            }
            self.pass();
            n_idle = if self.remember() { 0 } else { n_idle + 1 };
            let news = Progress {
                done: self.steps,
                of: self.budget.steps,
                shortfall: self.best_total,
                best: &self.best,
            };
            if watch.tell(&news).is_break() {
                return Ended::Stopped;
            }
            self.layout.weigh();
            if n_idle > PATIENCE {
                n_idle = 0;
                n_stuck += 1;
                if n_stuck > n_tries {
                    return Ended::Stuck;
                }
                if is_anew && n_stuck % STUCK_BEFORE_ANEW == 0 {
                    self.begin_anew();
                } else {
                    self.disturb();
                }
            }
        }
        Ended::Solved
    }

    /// Puts every item anywhere, with no memory of better layouts than that but the answer.
    fn begin_anew(&mut self) {
        let free = self.layout.movable();
        self.layout.set_out(&free);
        for i in free {
            self.layout.set_in(i);
            let seat = self.random.below(self.layout.pieces[i].seats.len());
            let stand = self.anywhere(i, seat);
            self.layout.put(i, stand);
        }
        self.layout.weigh_evenly();
        self.anchor_total = f64::INFINITY;
        self.remember();
    }

    /// Puts the items as in a layout found before.
    pub(super) fn recall(&mut self, poses: &[Pose]) {
        let numbered = poses.iter().enumerate();
        let stands: Vec<Stand> = numbered.map(|(i, &pose)| self.nearest_stand(i, pose)).collect();
        self.layout.put_all(&stands);
    }

    /// Begins anew from the layout as it is, without a memory of better ones.
    pub(super) fn forget(&mut self) {
        self.layout.weigh_evenly();
        self.best_total = f64::INFINITY;
        self.anchor_total = f64::INFINITY;
        self.remember();
    }

    /// Improves each item that lacks something, in random order.
    fn pass(&mut self) {
        let mut lacking = self.layout.movable();
        lacking.retain(|&i| self.layout.lacking(i) > 0.0);
        self.random.shuffle(&mut lacking);
        for i in lacking {
            if self.layout.lacking(i) > 0.0 {
                self.improve(i);
            }
        }
    }

    /// Goes back to the best layout and disturbs it.
    fn disturb(&mut self) {
        let stands = self.anchor.clone();
        self.layout.put_all(&stands);
        self.layout.weigh_evenly();
        let n_swaps = 1 + self.random.below(3);
        self.swap(n_swaps);
    }

    /// Lets so many pairs of items change places.
    pub(super) fn swap(&mut self, n_swaps: usize) {
        let free = self.layout.movable();
        if free.is_empty() {
            return;
        }
        for _ in 0..n_swaps {
            let one = free[self.random.below(free.len())];
            let other = free[self.random.below(free.len())];
            let (to, from) = (self.layout.pose(one), self.layout.pose(other));
            let stand = self.nearest_stand(one, from);
            self.layout.put(one, stand);
            let stand = self.nearest_stand(other, to);
            self.layout.put(other, stand);
        }
    }
}
