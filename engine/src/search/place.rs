//! Looks for poses that satisfy a problem.

use super::hunt::Hunt;
use super::verify::shortfall;
use super::{Budget, Item, Problem, Progress, Seed};
use crate::geometry::Pose;
use crate::watch::Watch;

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
    watch: &mut dyn for<'p> Watch<Progress<'p>>,
) -> Placed {
    if let Some(poses) = start.filter(|poses| holds(problem, poses)) {
        return Placed { poses: poses.to_vec(), shortfall: 0.0, steps: 0 };
    }
    let mut hunt = Hunt::new(problem, start, seed, budget);
    hunt.begin(start);
    hunt.run(u32::MAX, true, watch);
    let poses = hunt.best;
    let lacking = shortfall(problem, &poses);
    let shortfall = if lacking.is_nan() { f64::INFINITY } else { lacking };
    Placed { poses, shortfall, steps: hunt.steps }
}

/// True when poses are an answer already.
fn holds(problem: &Problem, poses: &[Pose]) -> bool {
    let is_allowed = |item: &Item, pose: &Pose| match item.pinned {
        Some(pinned) => *pose == pinned,
        None => pose.is_finite() && item.turns.nearest(pose.turn) == pose.turn,
    };
    poses.len() == problem.items.len()
        && problem.items.iter().zip(poses).all(|(item, pose)| is_allowed(item, pose))
        && shortfall(problem, poses) <= 0.0
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;
    use std::sync::Arc;

    use super::*;
    use crate::geometry::{Point, Rect, Region, Shape, flatten};
    use crate::search::{Apart, Progress, Turns};
    use crate::units::{Angle, Length};

    const BUDGET: Budget = Budget { steps: 2_000_000 };

    fn item(width: f64, depth: f64, room: Rect) -> Item {
        let ring = flatten::rectangle(Length::mm(width), Length::mm(depth));
        let shape = Arc::new(Shape::new(Region::new(ring, vec![])));
        Item { shape, turns: Turns::quarters(), room, pinned: None }
    }

    fn room(width: f64, depth: f64) -> Rect {
        Rect::sized(Point::ORIGIN, Length::mm(width), Length::mm(depth))
    }

    /// Two bars of 60 by 10 stand side by side in a room of 60 by 25 only with 5 mm between them.
    fn bars(apart: f64) -> Problem {
        let items = vec![item(60.0, 10.0, room(60.1, 25.1)), item(10.0, 60.0, room(60.1, 25.1))];
        Problem { items, apart: Apart::new(2, |_, _| Length::mm(apart)) }
    }

    #[test]
    fn bars_are_turned_to_lie_side_by_side_in_a_narrow_room() {
        let placed = place(&bars(5.0), None, Seed(3), BUDGET, &mut ());
        assert!(placed.shortfall <= 0.0, "{placed:?}");
        assert!((placed.poses[0].at.y - placed.poses[1].at.y).abs() >= 15.0 - 1e-6);
        let first = placed.poses[0].turn.sin().abs() < 1e-9;
        let second = placed.poses[1].turn.cos().abs() < 1e-9;
        assert!(first && second, "{placed:?}");
    }

    #[test]
    fn what_cannot_be_is_not_called_solved_and_ends_with_the_budget() {
        for problem in [
            bars(6.0),
            Problem { items: vec![item(70.0, 30.0, room(60.0, 25.0))], apart: Apart::touching(1) },
        ] {
            let placed = place(&problem, None, Seed(3), Budget { steps: 100_000 }, &mut ());
            assert!(placed.shortfall > 0.5, "{placed:?}");
            assert!(placed.steps >= 100_000);
        }
    }

    #[test]
    fn rooms_and_starts_that_are_no_numbers_do_no_harm() {
        let mut problem = bars(5.0);
        problem.items[0].room.max.x = f64::NAN;
        problem.items[1].room.max.y = f64::INFINITY;
        problem.items[1].turns = Turns::Of(vec![Angle::radians(f64::NAN)]);
        let start = [Pose::new(Point::new(f64::NAN, 0.0), Angle::ZERO); 2];
        let placed = place(&problem, Some(&start), Seed(1), Budget { steps: 20_000 }, &mut ());
        assert!(placed.shortfall > 0.0);
        assert!(placed.poses.iter().all(|pose| pose.is_finite()), "{placed:?}");
        let nothing = Problem { items: vec![], apart: Apart::touching(0) };
        assert!(place(&nothing, None, Seed(1), BUDGET, &mut ()).shortfall <= 0.0);
    }

    #[test]
    fn a_start_that_holds_is_left_alone_and_one_that_nearly_does_is_the_beginning() {
        let solved = place(&bars(5.0), None, Seed(3), BUDGET, &mut ());
        let again = place(&bars(5.0), Some(&solved.poses), Seed(9), BUDGET, &mut ());
        assert_eq!((again.poses, again.steps), (solved.poses.clone(), 0));
        let mut near = solved.poses.clone();
        near[0].at.y = f64::midpoint(near[0].at.y, near[1].at.y);
        let mended = place(&bars(5.0), Some(&near), Seed(9), BUDGET, &mut ());
        assert!(mended.shortfall <= 0.0);
        assert_eq!(mended.poses[1].turn, near[1].turn);
    }

    #[test]
    fn whoever_watches_can_stop_and_the_best_layout_is_kept() {
        let mut n_told = 0;
        let mut least = f64::INFINITY;
        let placed = place(&bars(6.0), None, Seed(3), BUDGET, &mut |news: &Progress<'_>| {
            n_told += 1;
            assert!(news.shortfall <= least && news.best.len() == 2);
            least = news.shortfall;
            if n_told < 5 { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
        assert_eq!(n_told, 5);
        assert!(placed.steps < BUDGET.steps && placed.shortfall > 0.0);
    }
}
