//! Looks for poses that satisfy a problem: moves of one item at a time, with weights on the pairs that resist.

use super::layout::{Layout, Stand};
use super::look::best_place;
use super::random::Random;
use super::verify::shortfall;
use super::{Budget, Problem, Progress, Seed, Watch};
use crate::geometry::{Point, Pose, Rect};

/// Passes without a better layout after which the search goes back to the best one and disturbs it.
const PATIENCE: u32 = 40;

/// The best layout that a search has found.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// A pose for every item, in the order of the problem.
    pub poses: Vec<Pose>,
    /// What it lacks in millimetres; zero exactly when it satisfies the problem.
    pub shortfall: f64,
    /// Steps taken.
    pub steps: u64,
}

/// Looks for poses of all items, beginning with `start` where it says something about an item.
pub fn place(
    problem: &Problem,
    start: Option<&[Pose]>,
    seed: Seed,
    budget: Budget,
    watch: &mut dyn Watch,
) -> Placed {
    let mut search = Search::new(problem, seed, budget);
    search.begin(start);
    search.run(watch);
    let poses = search.best;
    Placed { shortfall: shortfall(problem, &poses), poses, steps: search.steps }
}

/// A search under way.
struct Search<'a> {
    problem: &'a Problem,
    layout: Layout,
    random: Random,
    budget: Budget,
    steps: u64,
    best: Vec<Pose>,
    best_stands: Vec<Stand>,
    best_total: f64,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, seed: Seed, budget: Budget) -> Self {
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
    fn begin(&mut self, start: Option<&[Pose]>) {
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
        let Rect { min, max } = seats[seat].reach;
        let at = Point::new(pose.at.x.max(min.x).min(max.x), pose.at.y.max(min.y).min(max.y));
        Stand { seat, at }
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

    fn run(&mut self, watch: &mut dyn Watch) {
        let mut n_idle = 0;
        while self.steps < self.budget.steps && !self.is_solved() {
            self.pass();
            n_idle = if self.remember() { 0 } else { n_idle + 1 };
            let news = Progress {
                done: self.steps,
                of: self.budget.steps,
                shortfall: self.best_total,
                best: &self.best,
            };
            if watch.tell(&news).is_break() {
                break;
            }
            self.layout.weigh();
            if n_idle > PATIENCE {
                n_idle = 0;
                self.disturb();
            }
        }
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

    /// Goes back to the best layout and lets some items change places.
    fn disturb(&mut self) {
        let stands = self.best_stands.clone();
        self.layout.put_all(&stands);
        self.layout.weigh_evenly();
        let free: Vec<usize> =
            (0..self.layout.len()).filter(|&i| !self.layout.pieces[i].is_pinned).collect();
        if free.is_empty() {
            return;
        }
        for _ in 0..1 + self.random.below(3) {
            let one = free[self.random.below(free.len())];
            let other = free[self.random.below(free.len())];
            let (to, from) = (self.layout.pose(one), self.layout.pose(other));
            let stand = self.nearest_stand(one, from);
            self.layout.put(one, stand);
            let stand = self.nearest_stand(other, to);
            self.layout.put(other, stand);
        }
        self.best_total = self.best_total.max(0.0);
    }
}
