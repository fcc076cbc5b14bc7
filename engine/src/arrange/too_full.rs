//! When not all fit: what to leave out, at which clearance they would fit, whether to turn the blank.

use std::collections::BTreeSet;

use super::fit::{Effort, Tried, fit};
use super::layout::{judged, neat};
use super::most::most_of;
use super::run::Run;
use super::scene::Scene;
use super::{LeaveOut, MoldCopy, Phase, SmallerFactor, TooFull, TurnedBlank, Worth};
use crate::edit::Edit;
use crate::geometry::{Point, Pose, Rect};
use crate::plan::{Machine, MoldId, PlacementId, Plan, Settings, Sides, Size, Turns, limits};
use crate::rules::ReadyMolds;
use crate::units::Length;

/// Steps for asking whether one mold fits alone.
const ALONE: u64 = 200_000;
/// With fewer steps than this a question is not asked: what comes of it would say nothing.
const LEAST_STEPS: u64 = 1000;

/// The ways out of a layout that was not found, each tried for its part of what is left of the budget.
pub(super) fn too_full(
    scene: &Scene<'_>,
    best: Option<(Vec<Pose>, f64)>,
    ready: &ReadyMolds,
    run: &mut Run<'_>,
) -> TooFull {
    let lacking = best.as_ref().map(|(_, millimetres)| Length::mm(*millimetres));
    let start = best.map(|(poses, _)| poses);
    run.phase = Phase::LeavingOut;
    let too_large = too_large(scene, run);
    let steps = run.part(45);
    let leave_out = leave_out(scene, (start.as_deref(), &too_large), steps, (ready, run));
    run.phase = Phase::Lowering;
    let steps = run.part(70);
    let factor = smaller_factor(scene, start.as_deref(), steps, (ready, run));
    run.phase = Phase::TurningBlank;
    let turned_blank = turned_blank(scene, ready, run);
    TooFull { lacking, too_large, leave_out, factor, turned_blank }
}

/// Each mold that does not fit the opening alone, by its lowest copy.
fn too_large(scene: &Scene<'_>, run: &mut Run<'_>) -> Vec<MoldCopy> {
    let mut asked: BTreeSet<MoldId> = BTreeSet::new();
    let mut found = Vec::new();
    for copy in scene.copies() {
        if !asked.insert(copy.0) || run.is_over() {
            continue;
        }
        let alone = scene.of(|_, body| body.copy == copy && !body.is_pinned);
        let steps = ALONE.min(run.part(5));
        if let Tried::Lacks(_) = fit(&alone, None, (steps, Effort::Full), run)
            && !run.is_stopped
        {
            found.push(copy);
        }
    }
    found
}

/// What to leave out: molds that are too large, and besides them one mold if one is enough, or as few as can be.
fn leave_out(
    scene: &Scene<'_>,
    (start, too_large): (Option<&[Pose]>, &[MoldCopy]),
    steps: u64,
    (ready, run): (&ReadyMolds, &mut Run<'_>),
) -> Option<LeaveOut> {
    let large: BTreeSet<MoldId> = too_large.iter().map(|copy| copy.0).collect();
    let is_large = |i: usize| !scene.bodies[i].is_pinned && large.contains(&scene.bodies[i].copy.0);
    let mut tries: Vec<Option<usize>> = least_losses(scene, &large).into_iter().map(Some).collect();
    if !large.is_empty() {
        tries.insert(0, None);
    }
    let n_tries = u64::try_from(tries.len()).unwrap_or(u64::MAX).max(1);
    let until = run.steps.saturating_add(steps);
    for left_out in tries {
        if run.is_over() {
            return None;
        }
        if run.steps >= until {
            break;
        }
        let is_kept = |i: usize| !is_large(i) && left_out != Some(i);
        let rest = scene.of(|i, _| is_kept(i));
        let start = start.map(|poses| of_kept(poses, is_kept));
        if let Some(poses) =
            fit(&rest, start.as_deref(), (steps / n_tries, Effort::Short), run).fits()
        {
            return told(scene, is_kept, &poses, (ready, run));
        }
    }
    let rest = scene.of(|i, _| !is_large(i));
    let steps = until.saturating_sub(run.steps).max(run.part(20));
    let (chosen, poses, _) = most_of(&rest, &Worth::ByCount, steps, run);
    let numbers: Vec<usize> = (0..scene.bodies.len()).filter(|&i| !is_large(i)).collect();
    let kept: BTreeSet<usize> = chosen.iter().filter_map(|&n| numbers.get(n).copied()).collect();
    told(scene, |i| kept.contains(&i), &poses, (ready, run))
}

/// One body of every mold, the least footprint first: its last copy, sooner one that does not stand yet.
fn least_losses(scene: &Scene<'_>, large: &BTreeSet<MoldId>) -> Vec<usize> {
    let mut bodies: Vec<usize> =
        scene.movable().filter(|&i| !large.contains(&scene.bodies[i].copy.0)).collect();
    bodies.sort_by(|&i, &j| {
        let (a, b) = (&scene.bodies[i], &scene.bodies[j]);
        let area = |body: &super::scene::Body| body.shape.area().to_mm2();
        let by_area = area(a).total_cmp(&area(b)).then(a.copy.0.cmp(&b.copy.0));
        by_area.then(a.id.is_some().cmp(&b.id.is_some())).then(b.copy.1.cmp(&a.copy.1))
    });
    bodies.dedup_by_key(|i| scene.bodies[*i].copy.0);
    bodies
}

fn of_kept(poses: &[Pose], is_kept: impl Fn(usize) -> bool) -> Vec<Pose> {
    poses.iter().enumerate().filter(|(i, _)| is_kept(*i)).map(|(_, &pose)| pose).collect()
}

/// The rest laid out, judged.
fn told(
    scene: &Scene<'_>,
    is_kept: impl Fn(usize) -> bool,
    poses: &[Pose],
    (ready, run): (&ReadyMolds, &mut Run<'_>),
) -> Option<LeaveOut> {
    let rest = scene.of(|i, _| is_kept(i));
    let gone: Vec<_> = scene.movable().filter(|&i| !is_kept(i)).collect();
    let off: BTreeSet<PlacementId> = gone.iter().filter_map(|&i| scene.bodies[i].id).collect();
    let copies: BTreeSet<MoldCopy> = gone.iter().map(|&i| scene.bodies[i].copy).collect();
    let poses = neat(&rest, poses, run);
    // What stands as it should already needs nothing but the others taken off, or nothing at all.
    let edit = judged(scene.plan, &rest, (&poses, &off), None, ready)?.edit;
    let edit = edit.unwrap_or_else(|| Edit::All(Vec::new()));
    Some(LeaveOut { copies: copies.into_iter().collect(), edit })
}

/// The greatest clearance factor at which all fit, by halving what is between, to a hundredth.
fn smaller_factor(
    scene: &Scene<'_>,
    start: Option<&[Pose]>,
    steps: u64,
    (ready, run): (&ReadyMolds, &mut Run<'_>),
) -> SmallerFactor {
    /// Tries that halving takes: from the widest range down to a hundredth.
    const TRIES: u64 = 9;
    if steps < LEAST_STEPS || run.is_over() {
        return SmallerFactor::NotAsked;
    }
    let least = limits::CLEARANCE_FACTOR.0;
    let mut fits_at = |factor: f64, start: Option<&[Pose]>, steps: u64| {
        let (settings, plan) = with_factor(scene.plan, factor);
        let under = scene.under(&plan);
        let poses = fit(&under, start, (steps, Effort::Short), run).fits()?;
        let poses = neat(&under, &poses, run);
        let first = Some(Edit::SetSettings(settings));
        let edit = judged(scene.plan, &under, (&poses, &BTreeSet::new()), first, ready)?.edit?;
        Some((poses, edit))
    };
    let Some((mut poses, mut edit)) = fits_at(least, start, steps / 3) else {
        return if run.is_stopped {
            SmallerFactor::NotAsked
        } else {
            SmallerFactor::NoneFits { least }
        };
    };
    let (mut low, mut high) = (hundredths(least), hundredths(scene.plan.settings.clearance.factor));
    while high - low > 1 {
        let middle = low.midpoint(high);
        match fits_at(f64::from(middle) / 100.0, Some(&poses), steps / 3 * 2 / TRIES) {
            Some(found) => ((poses, edit), low) = (found, middle),
            None => high = middle,
        }
    }
    SmallerFactor::Fits { factor: f64::from(low) / 100.0, edit }
}

/// A factor in hundredths, rounded up: all do not fit at it or above.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "factors of a plan are between 0.5 and 3"
)]
fn hundredths(factor: f64) -> u32 {
    libm::ceil(factor * 100.0 - 1e-9) as u32
}

fn with_factor(plan: &Plan, factor: f64) -> (Settings, Plan) {
    let mut settings = plan.settings;
    settings.clearance.factor = factor;
    (settings, Plan { settings, ..plan.clone() })
}

/// Whether all fit on the blank turned by a quarter.
///
/// When every mold may be turned by quarters, turning the blank is turning the layout, and changes nothing.
fn turned_blank(scene: &Scene<'_>, ready: &ReadyMolds, run: &mut Run<'_>) -> TurnedBlank {
    if scene.bodies.iter().any(|body| body.is_pinned) {
        return TurnedBlank::Held;
    }
    if scene.movable().all(|i| scene.bodies[i].turns != Turns::Fixed) {
        return TurnedBlank::NoDifference;
    }
    if run.left() < LEAST_STEPS {
        return TurnedBlank::NotAsked;
    }
    let machine = turned(scene.plan.machine);
    let plan = Plan { machine, ..scene.plan.clone() };
    let under = scene.under(&plan);
    let steps = run.left();
    let Some(poses) = fit(&under, None, (steps, Effort::Short), run).fits() else {
        return if run.is_stopped { TurnedBlank::NotAsked } else { TurnedBlank::DoesNotHelp };
    };
    let poses = neat(&under, &poses, run);
    let first = Some(Edit::SetMachine(machine));
    let judged = judged(scene.plan, &under, (&poses, &BTreeSet::new()), first, ready);
    judged
        .and_then(|judged| judged.edit)
        .map_or(TurnedBlank::DoesNotHelp, |edit| TurnedBlank::Fits { edit })
}

/// The machine turned by a quarter to the left: what was in front is to the right.
fn turned(machine: Machine) -> Machine {
    let Machine { blank, lip, platen, clears } = machine;
    let depth = blank.depth.to_mm();
    let corner = |p: Point| Point::new(depth - p.y, p.x);
    Machine {
        blank: Size::new(blank.depth, blank.width),
        lip: Sides { front: lip.left, back: lip.right, left: lip.back, right: lip.front },
        platen: Rect::new(corner(platen.min), corner(platen.max)),
        clears,
    }
}
