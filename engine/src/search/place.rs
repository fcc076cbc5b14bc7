//! Looks for poses that satisfy a problem.

use super::random::Random;
use super::verify::{pair_shortfall, room_shortfall, shortfall};
use super::{Budget, Problem, Progress, Seed, Turns, Watch};
use crate::geometry::{Point, Pose, extent};
use crate::units::Angle;

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
    let mut random = Random::new(seed);
    let n = problem.items.len();
    let mut poses: Vec<Pose> = (0..n)
        .map(|i| {
            let item = &problem.items[i];
            let given = start.and_then(|start| start.get(i)).filter(|pose| pose.is_finite());
            let turned = |pose: &Pose| Pose { turn: item.turns.nearest(pose.turn), ..*pose };
            item.pinned
                .or_else(|| given.map(turned))
                .unwrap_or_else(|| anywhere(problem, i, &mut random))
        })
        .collect();
    let mut lacking = shortfall(problem, &poses);
    let mut steps = 0;
    while lacking > 0.0 && steps < budget.steps {
        let i = random.below(n);
        steps += 1;
        let pose = anywhere(problem, i, &mut random);
        let cost = |pose| {
            let others = (0..n).filter(|&j| j != i);
            let pairs = others.map(|j| pair_shortfall(problem, (i, pose), (j, poses[j])));
            room_shortfall(problem, i, pose) + pairs.sum::<f64>()
        };
        if problem.items[i].pinned.is_none() && cost(pose) <= cost(poses[i]) {
            poses[i] = pose;
            lacking = shortfall(problem, &poses);
        }
        let news = Progress { done: steps, of: budget.steps, shortfall: lacking, best: &poses };
        if steps % 100 == 0 && watch.tell(&news).is_break() {
            break;
        }
    }
    Placed { poses, shortfall: lacking, steps }
}

/// A pose somewhere in the room.
fn anywhere(problem: &Problem, i: usize, random: &mut Random) -> Pose {
    let item = &problem.items[i];
    let turn = match &item.turns {
        Turns::Free => Angle::degrees(random.between(0.0, 360.0)),
        Turns::Of(turns) => turns.get(random.below(turns.len())).copied().unwrap_or(Angle::ZERO),
    };
    let reach = extent(&item.shape, Pose::new(Point::ORIGIN, turn));
    let x = random.between(item.room.min.x - reach.min.x, item.room.max.x - reach.max.x);
    let y = random.between(item.room.min.y - reach.min.y, item.room.max.y - reach.max.y);
    Pose::new(Point::new(x, y), turn)
}
