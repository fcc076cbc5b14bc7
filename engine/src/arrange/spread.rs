//! Uses the room that is left: first the smallest gap above the rule as large as it gets, then the other aims.

use super::Aims;
use super::measure::{measures, pairs, spare};
use super::parting::parting;
use super::run::Run;
use super::scene::{Scene, Turning};
use super::settle::{Wish, settle};
use crate::geometry::{Pose, Vec2, extent};
use crate::plan::Turns;
use crate::units::Angle;

/// Gaps are not widened by less than this, in millimetres: a tenth of what a hand can set.
const WORTH_A_MOVE: f64 = 0.05;
/// What the smallest gap is kept at while the other aims are followed, as a share of what it was.
const KEPT: f64 = 0.85;
/// Searches in vain before the widest layout is taken as found.
const PATIENCE: u32 = 4;

/// The layout spread; `poses` must keep every distance.
pub(super) fn spread(
    scene: &Scene<'_>,
    poses: &[Pose],
    aims: &Aims,
    run: &mut Run<'_>,
) -> Vec<Pose> {
    let floor = if aims.room > 0.0 { spare(scene, poses).max(0.0) } else { 0.0 };
    let widest = if aims.room > 0.0 { widest(scene, poses, aims, run) } else { poses.to_vec() };
    let judge = Judge { scene, aims, floor, most: spare(scene, &widest).max(WORTH_A_MOVE) };
    // The layout as it came may do better by the other aims than the widest.
    let begin = if judge.score(poses) > judge.score(&widest) { poses.to_vec() } else { widest };
    let found = follow(&judge, begin, run);
    let evened = if aims.room > 0.0 { evened(&judge, found, run) } else { found };
    if judge.score(&evened) > judge.score(poses) + 1e-3 { evened } else { poses.to_vec() }
}

/// The layout with the largest smallest gap that was found.
fn widest(scene: &Scene<'_>, poses: &[Pose], aims: &Aims, run: &mut Run<'_>) -> Vec<Pose> {
    let turning = if aims.square > 0.0 { Turning::Square } else { Turning::Allowed };
    let mut best = grown(scene, poses, run);
    run.tell(scene, &best);
    let mut failed = 0;
    let half = run.left() / 2;
    while run.left() > half && failed < PATIENCE {
        // Asked for less after a search in vain: on a full blank the last millimetre is found in parts.
        let more = (spare(scene, &best) * 0.1).max(1.0) / f64::from(1 << failed);
        let start = (failed % 2 == 0).then_some(best.as_slice());
        let steps = run.part(8);
        let extra = spare(scene, &best) + more;
        let Some(placed) = run.place(scene, start, (turning, extra), steps) else { break };
        if placed.shortfall > 0.0 {
            failed += 1;
            continue;
        }
        failed = 0;
        best = grown(scene, &placed.poses, run);
        run.tell(scene, &best);
    }
    best
}

/// The layout with its smallest gap widened as long as it gives, bodies only moved.
fn grown(scene: &Scene<'_>, poses: &[Pose], run: &mut Run<'_>) -> Vec<Pose> {
    let mut best = poses.to_vec();
    let mut gap = spare(scene, &best);
    let mut by = 4.0;
    while by >= WORTH_A_MOVE && !run.is_over() && gap.is_finite() {
        let wish = Wish { at: &best, from: &best, extra: gap.max(0.0) + by };
        match settle(scene, wish, run) {
            Some(wider) => {
                best = wider;
                gap = spare(scene, &best);
                by *= 1.5;
            }
            None => by /= 3.0,
        }
    }
    best
}

/// What the aims say of a layout.
struct Judge<'s, 'p> {
    scene: &'s Scene<'p>,
    aims: &'s Aims,
    /// The smallest gap may not fall below this.
    floor: f64,
    /// The largest smallest gap that was found.
    most: f64,
}

impl Judge<'_, '_> {
    /// From 0 to the sum of the weights; each aim counts from 0, as badly as can be, to 1.
    fn score(&self, poses: &[Pose]) -> f64 {
        let measured = measures(self.scene, poses);
        let opening = self.scene.opening;
        let corner = opening.min.distance(opening.max) / 2.0;
        let room = (measured.spare.to_mm() / self.most).clamp(0.0, 1.0);
        let inside = 1.0 - measured.tall_from_middle.to_mm() / corner.max(f64::MIN_POSITIVE);
        let square = 1.0 - measured.out_of_square.to_degrees() / 45.0;
        let apart = 1.0 - measured.facing.min(1.0);
        let Aims { room: a, tall_inside: b, square: c, faces_apart: d } = *self.aims;
        a * room + b * inside + c * square + d * apart
    }
}

/// Follows the aims by trying changes and keeping what does better; now and then, at first, what does a little worse.
fn follow(judge: &Judge<'_, '_>, begin: Vec<Pose>, run: &mut Run<'_>) -> Vec<Pose> {
    /// Worse by this much is accepted at first: a few hundredths of what an aim can count.
    const WARM: f64 = 0.03;
    /// Changes between two times that somebody may stop it.
    const HEARD_EVERY: u32 = 16;
    let Aims { tall_inside, square, faces_apart, .. } = *judge.aims;
    if tall_inside + square + faces_apart <= 0.0 || judge.scene.movable().next().is_none() {
        return begin;
    }
    let weights = judge.aims.room + tall_inside + square + faces_apart;
    let (mut here, mut best) = (begin.clone(), begin);
    let (mut here_score, mut best_score) = (judge.score(&here), judge.score(&best));
    let all = run.left();
    let mut n_changes: u32 = 0;
    while run.left() > all / 8 {
        n_changes = n_changes.wrapping_add(1);
        if n_changes.is_multiple_of(HEARD_EVERY) {
            run.tell(judge.scene, &best);
        }
        let warmth = WARM * weights * share(run.left(), all);
        let changed = change(judge, &here, run);
        run.measured(u64::try_from(here.len() * here.len()).unwrap_or(u64::MAX));
        let keep = (spare(judge.scene, &here) * KEPT).max(judge.floor);
        let wish = Wish { at: &changed, from: &changed, extra: keep };
        let Some(settled) = settle(judge.scene, wish, run) else { continue };
        let score = judge.score(&settled);
        if score > here_score - warmth * run.random.share() {
            (here, here_score) = (settled, score);
        }
        if here_score > best_score + 1e-9 {
            (best, best_score) = (here.clone(), here_score);
            run.tell(judge.scene, &best);
        }
    }
    best
}

/// How much is left, from 1 to 0.
fn share(left: u64, all: u64) -> f64 {
    let thousandths = (left.saturating_mul(1000) / all.max(1)).min(1000);
    f64::from(u32::try_from(thousandths).unwrap_or(1000)) / 1000.0
}

/// One change: two bodies swapped, one turned, one moved towards the middle or a little anywhere.
fn change(judge: &Judge<'_, '_>, poses: &[Pose], run: &mut Run<'_>) -> Vec<Pose> {
    let scene = judge.scene;
    let mut changed = poses.to_vec();
    let movable: Vec<usize> = scene.movable().collect();
    let i = movable[run.random.below(movable.len())];
    match run.random.below(4) {
        0 => {
            let j = movable[run.random.below(movable.len())];
            (changed[i].at, changed[j].at) = (poses[j].at, poses[i].at);
        }
        1 => changed[i].turn = turned(judge, i, run),
        2 => {
            let to_middle = scene.opening.center() - poses[i].at;
            changed[i].at += to_middle * run.random.between(-0.3, 0.9);
        }
        _ => {
            let by = Vec2::unit(Angle::degrees(run.random.between(0.0, 360.0)));
            changed[i].at += by * run.random.between(0.0, 40.0);
        }
    }
    changed
}

/// Another turn that a body may take: square to the frame when that is an aim, or nothing is better known.
fn turned(judge: &Judge<'_, '_>, i: usize, run: &mut Run<'_>) -> Angle {
    let body = &judge.scene.bodies[i];
    let n = run.random.below(4);
    match body.turns {
        Turns::Fixed => Angle::ZERO,
        Turns::Quarter => [0.0, 90.0, 180.0, 270.0].map(Angle::degrees)[n],
        Turns::Free if judge.aims.square > 0.0 => body.walls.square_turns()[n],
        Turns::Free => Angle::degrees(run.random.between(0.0, 360.0)),
    }
}

/// The gaps that are not the smallest evened out: every body gives way to what presses most.
fn evened(judge: &Judge<'_, '_>, poses: Vec<Pose>, run: &mut Run<'_>) -> Vec<Pose> {
    const ROUNDS: usize = 16;
    let scene = judge.scene;
    let mut best = grown(scene, &poses, run);
    if judge.score(&best) < judge.score(&poses) {
        best = poses;
    }
    let keep = (spare(scene, &best) - WORTH_A_MOVE / 2.0).max(judge.floor);
    let mut stride = 8.0;
    let mut pressed = pressure(scene, &best);
    for _ in 0..ROUNDS {
        if run.is_over() || stride < WORTH_A_MOVE {
            break;
        }
        let most = pressed.1.iter().map(|way| way.length()).fold(0.0, f64::max);
        if most <= 0.0 {
            break;
        }
        let moved: Vec<Pose> = best
            .iter()
            .zip(&pressed.1)
            .map(|(pose, &way)| pose.moved(way * (stride / most)))
            .collect();
        let wish = Wish { at: &moved, from: &best, extra: keep };
        let next = settle(scene, wish, run);
        let better =
            next.map(|next| (pressure(scene, &next), next)).filter(|(next, _)| next.0 < pressed.0);
        match better {
            Some((next, poses)) if judge.score(&poses) >= judge.score(&best) - 1e-3 => {
                (pressed, best) = (next, poses);
            }
            _ => stride /= 2.0,
        }
    }
    best
}

/// How hard gaps press, each by the inverse square of what is spare, and where that pushes every body.
fn pressure(scene: &Scene<'_>, poses: &[Pose]) -> (f64, Vec<Vec2>) {
    /// Keeps gaps at the very rule from pressing without limit, in millimetres.
    const SOFT: f64 = 5.0;
    let press = |spare: f64| 1.0 / ((spare.max(0.0) + SOFT) * (spare.max(0.0) + SOFT));
    let mut sum = 0.0;
    let mut ways = vec![Vec2::ZERO; poses.len()];
    for (i, j) in pairs(scene) {
        let (a, b) = (&scene.bodies[i], &scene.bodies[j]);
        let Some(way) = parting((&a.shape, poses[i]), (&b.shape, poses[j]), 1e4) else { continue };
        let by = press(way.distance - scene.distance(i, j));
        sum += by;
        ways[i] = ways[i] + way.normal * by;
        ways[j] = ways[j] - way.normal * by;
    }
    for i in scene.movable() {
        let Some(room) = scene.bodies[i].room else { continue };
        let reach = extent(&scene.bodies[i].shape, poses[i]);
        let sides = [
            (Vec2::new(1.0, 0.0), reach.min.x - room.min.x),
            (Vec2::new(-1.0, 0.0), room.max.x - reach.max.x),
            (Vec2::new(0.0, 1.0), reach.min.y - room.min.y),
            (Vec2::new(0.0, -1.0), room.max.y - reach.max.y),
        ];
        for (normal, spare) in sides {
            sum += press(spare);
            ways[i] = ways[i] + normal * press(spare);
        }
    }
    for (way, body) in ways.iter_mut().zip(&scene.bodies) {
        if body.is_pinned {
            *way = Vec2::ZERO;
        }
    }
    (sum, ways)
}
