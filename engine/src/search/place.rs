//! Looks for poses that satisfy a problem.

use super::hunt::Hunt;
use super::verify::shortfall;
use super::{Budget, Problem, Seed, Watch};
use crate::geometry::Pose;

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
///
/// Ends when nothing is lacking by the exact geometry, when the budget is spent or when `watch` says so, and then
/// gives the best layout so far. What cannot be solved (an item larger than its room) takes the whole budget.
pub fn place(
    problem: &Problem,
    start: Option<&[Pose]>,
    seed: Seed,
    budget: Budget,
    watch: &mut dyn Watch,
) -> Placed {
    let mut hunt = Hunt::new(problem, seed, budget);
    hunt.begin(start);
    hunt.run(u32::MAX, true, watch);
    let poses = hunt.best;
    let lacking = shortfall(problem, &poses);
    let shortfall = if lacking.is_nan() { f64::INFINITY } else { lacking };
    Placed { poses, shortfall, steps: hunt.steps }
}
