//! Puts right what the rules find by the least movement: the least sum of the squares of all distances moved.
//!
//! Nothing is turned while moving alone puts it right.

use super::measure::{pairs, spare};
use super::parting::ways_apart;
use super::run::Run;
use super::scene::{Scene, Turning};
use super::settle::{Ordered, Wish, settle, settle_first};
use crate::geometry::{Pose, is_overlapping, tolerance};

/// Ways in which overlapping pairs are told to part before the least is taken.
const TRIES: usize = 24;
/// Searches for a place when moving apart does not do.
const SEARCHES: usize = 3;

/// The poses nearest to where everything stands at which every distance is kept; `None` when none were found.
pub(super) fn tidied(scene: &Scene<'_>, run: &mut Run<'_>) -> Option<Vec<Pose>> {
    let here = scene.poses()?;
    if spare(scene, &here) >= -tolerance::SAME.to_mm() {
        return Some(here);
    }
    let moved = by_moving(scene, &here, run);
    run.tell(scene, moved.as_deref().unwrap_or(&here));
    if moved.is_some() || run.is_stopped {
        return moved;
    }
    by_searching(scene, &here, Turning::Kept, run)
        .or_else(|| by_searching(scene, &here, Turning::Allowed, run))
}

/// The sum of the squares of the distances moved, in square millimetres.
fn moved(here: &[Pose], there: &[Pose]) -> f64 {
    let distances = here.iter().zip(there).map(|(a, b)| a.at.distance(b.at));
    distances.map(|d| d * d).sum()
}

/// The lesser of two movements.
fn nearer(here: &[Pose], best: Option<Vec<Pose>>, next: Option<Vec<Pose>>) -> Option<Vec<Pose>> {
    match (best, next) {
        (Some(best), Some(next)) if moved(here, &next) < moved(here, &best) => Some(next),
        (Some(best), _) => Some(best),
        (None, next) => next,
    }
}

/// Moves apart from where they stand; pairs that overlap are told to part now this way, now that.
fn by_moving(scene: &Scene<'_>, here: &[Pose], run: &mut Run<'_>) -> Option<Vec<Pose>> {
    let wish = Wish { at: here, from: here, extra: 0.0 };
    let mut best = settle(scene, wish, run);
    let overlapping: Vec<(usize, usize)> = pairs(scene)
        .filter(|&(i, j)| {
            let (a, b) = (&scene.bodies[i].shape, &scene.bodies[j].shape);
            is_overlapping(a, here[i], b, here[j])
        })
        .collect();
    let tries = if overlapping.is_empty() { 0 } else { TRIES };
    for _ in 0..tries {
        if run.is_over() {
            break;
        }
        let ordered: Vec<Ordered> = overlapping
            .iter()
            .map(|&(i, j)| {
                let (a, b) = (&scene.bodies[i].shape, &scene.bodies[j].shape);
                let ways = ways_apart((a, here[i]), (b, here[j]), 4);
                Ordered { pair: (i, j), way: ways[run.random.below(ways.len())] }
            })
            .collect();
        let next = settle_first(scene, wish, &ordered, run);
        best = nearer(here, best, next);
        run.tell(scene, best.as_deref().unwrap_or(here));
    }
    best
}

/// Searches for places, then goes back towards where everything stood as far as the distances let it.
fn by_searching(
    scene: &Scene<'_>,
    here: &[Pose],
    turning: Turning,
    run: &mut Run<'_>,
) -> Option<Vec<Pose>> {
    let mut best = None;
    for _ in 0..SEARCHES {
        let steps = run.part(20);
        let placed = run.place(scene, Some(here), (turning, 0.0), steps)?;
        if placed.shortfall <= 0.0 {
            let wish = Wish { at: here, from: &placed.poses, extra: 0.0 };
            let back = settle(scene, wish, run).unwrap_or(placed.poses);
            best = nearer(here, best, Some(back));
        }
        if run.is_over() {
            break;
        }
    }
    best
}
