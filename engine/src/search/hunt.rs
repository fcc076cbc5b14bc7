//! The search itself: moves of one item at a time, with weights on the pairs that resist.

use super::layout::{Layout, Stand};
use super::look::best_place;
use super::random::Random;
use super::verify::shortfall;
use super::{Budget, Problem, Progress, Seed, Watch};
use crate::geometry::{Point, Pose, Rect};

/// Passes without a better layout after which the search goes back to the best one and disturbs it.
const PATIENCE: u32 = 40;

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
    best_stands: Vec<Stand>,
    best_total: f64,
}

impl<'a> Hunt<'a> {
    pub(super) fn new(problem: &'a Problem, seed: Seed, budget: Budget) -> Self {
        let layout = Layout::new(problem);
        Self {
            problem,
            best: layout.poses(),
            best_stands: layout.stands.clone(),
            best_total: f64::INFINITY,
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

    /// Keeps the layout if it lacks less than the best so far.
    fn remember(&mut self) -> bool {
        let total = self.layout.total();
        let is_better = total < self.best_total;
        if is_better {
            self.best_total = total;
            self.best = self.layout.poses();
            self.best_stands.clone_from(&self.layout.stands);
        }
        is_better
    }

    /// True when the layout holds by the exact geometry.
    fn is_solved(&mut self) -> bool {
        if self.layout.total() > 0.0 {
            return false;
        }
        let poses = self.layout.poses();
        if shortfall(self.problem, &poses) > 0.0 {
            self.layout.widen(1e-4);
            return false;
        }
        self.best = poses;
        self.best_total = 0.0;
        true
    }

    /// Searches on until solved, and gives up when it is stuck for more than so many times.
    pub(super) fn run(&mut self, n_tries: u32, watch: &mut dyn Watch) -> Ended {
        let (mut n_idle, mut n_stuck) = (0, 0);
        while !self.is_solved() {
            if self.steps >= self.budget.steps {
                return Ended::Stopped;
            }
            // A pass counts by itself: when an item is larger than its room no place is ever tried.
            self.steps += 1;
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
                self.disturb();
            }
        }
        Ended::Solved
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
        self.remember();
    }

    /// Improves each item that lacks something, in random order.
    fn pass(&mut self) {
        let mut lacking: Vec<usize> = (0..self.layout.len())
            .filter(|&i| !self.layout.pieces[i].is_pinned && self.layout.lacking(i) > 0.0)
            .collect();
        self.random.shuffle(&mut lacking);
        for i in lacking {
            if self.layout.lacking(i) > 0.0 {
                self.improve(i);
            }
        }
    }

    /// Goes back to the best layout and disturbs it.
    fn disturb(&mut self) {
        let stands = self.best_stands.clone();
        self.layout.put_all(&stands);
        self.layout.weigh_evenly();
        let n_swaps = 1 + self.random.below(3);
        self.swap(n_swaps);
    }

    /// Lets so many pairs of items change places.
    pub(super) fn swap(&mut self, n_swaps: usize) {
        let free: Vec<usize> =
            (0..self.layout.len()).filter(|&i| !self.layout.pieces[i].is_pinned).collect();
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
