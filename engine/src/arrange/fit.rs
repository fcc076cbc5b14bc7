//! Finds a place for every body.

use super::cover::Cover;
use super::measure::spare;
use super::run::Run;
use super::scene::{Scene, Turning};
use super::settle::{Wish, settle};
use crate::geometry::{Pose, tolerance};
use crate::plan::Turns;

/// What a try at a layout came to.
#[derive(Clone, Debug)]
pub(super) enum Tried {
    /// Every distance is kept.
    Fits(Vec<Pose>),
    /// What the best layout found lacks, in millimetres; nothing when no search made sense.
    Lacks(Option<(Vec<Pose>, f64)>),
}

/// How many turns are tried of molds that may turn freely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Effort {
    /// All of them in the end.
    Full,
    /// Those at steps of 30 degrees: for one question among many.
    Short,
}

impl Tried {
    pub(super) fn fits(self) -> Option<Vec<Pose>> {
        match self {
            Self::Fits(poses) => Some(poses),
            Self::Lacks(_) => None,
        }
    }
}

/// Tries for at most `steps` to stand all bodies as the rules ask.
///
/// Where everything stands already (in `start`, or as it is) it begins by moving it apart. Then it searches with
/// nothing turned, with the long walls along the frame (the custom of the trade), and with more turns: each is a larger
/// search than the one before it, and what it finds is less like what a maker would set. A pose in `start` that is not
/// finite says nothing about its body.
pub(super) fn fit(
    scene: &Scene<'_>,
    start: Option<&[Pose]>,
    (steps, effort): (u64, Effort),
    run: &mut Run<'_>,
) -> Tried {
    let until = run.steps.saturating_add(steps.min(run.left()));
    let here: Vec<Pose> = start.map_or_else(|| scene.start(), <[Pose]>::to_vec);
    if let Some(fits) = moved_apart(scene, &here, run) {
        return Tried::Fits(fits);
    }
    if Cover::of(scene).is_too_much() {
        return Tried::Lacks(None);
    }
    let mut best: Option<(Vec<Pose>, f64)> = None;
    for (turning, per_cent) in turnings(scene, effort) {
        let left = until.saturating_sub(run.steps);
        if left == 0 || run.is_over() {
            break;
        }
        let from = best.as_ref().map_or(here.as_slice(), |(poses, _)| poses.as_slice());
        let steps = left.div_ceil(100) * per_cent;
        let Some(placed) = run.place(scene, Some(from), (turning, 0.0), steps) else {
            // Some mold has no room at these turns; it may have at others.
            continue;
        };
        if placed.shortfall <= 0.0 {
            return Tried::Fits(placed.poses);
        }
        if best.as_ref().is_none_or(|(_, lacking)| placed.shortfall < *lacking) {
            best = Some((placed.poses, placed.shortfall));
        }
    }
    Tried::Lacks(best)
}

/// Which turns are tried, each for so many hundredths of what is left.
fn turnings(scene: &Scene<'_>, effort: Effort) -> Vec<(Turning, u64)> {
    let may = |turns: Turns| scene.movable().any(|i| scene.bodies[i].turns == turns);
    let few = match (may(Turns::Free), may(Turns::Quarter)) {
        (false, false) => vec![],
        (false, true) => vec![(Turning::Kept, 10)],
        (true, _) => vec![(Turning::Kept, 10), (Turning::Square, 30)],
    };
    let more = match effort {
        Effort::Short if may(Turns::Free) => vec![(Turning::Steps, 100)],
        Effort::Full if may(Turns::Free) => vec![(Turning::Steps, 40), (Turning::Allowed, 100)],
        Effort::Short | Effort::Full => vec![(Turning::Allowed, 100)],
    };
    few.into_iter().chain(more).collect()
}

/// The bodies moved apart from where they all stand, turned only as they may be.
fn moved_apart(scene: &Scene<'_>, here: &[Pose], run: &mut Run<'_>) -> Option<Vec<Pose>> {
    let is_told = here.iter().all(|pose| pose.is_finite());
    if !is_told || scene.movable().any(|i| scene.bodies[i].room.is_none()) {
        return None;
    }
    if spare(scene, here) >= -tolerance::SAME.to_mm() {
        return Some(here.to_vec());
    }
    settle(scene, Wish { at: here, from: here, extra: 0.0 }, run)
}
