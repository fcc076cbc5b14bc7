//! As many molds as go on, or those worth the most.
//!
//! Equal copies make a set of molds a count of each kind. Whatever fits still fits with a mold less, so a set is
//! best when no set that is worth just more than it fits: sets from which any one could be taken without falling to
//! the worth of the best.

use std::collections::BTreeMap;

use super::cover::{covered, reach};
use super::fit::{Effort, fit};
use super::run::Run;
use super::scene::Scene;
use super::{MoldCopy, Most, Worth};
use crate::geometry::{Pose, Rect};
use crate::plan::MoldId;
use crate::units::Length;

/// Sets considered in one round; beyond it a set may be missed, and the answer says so.
const MOST_SETS: usize = 3000;
/// The least that is spent on one set.
const LEAST_STEPS: u64 = 60_000;

/// How many of each kind.
type Counts = Vec<usize>;

/// The numbers of the bodies chosen, those that are pinned among them; their poses in order; and whether all sets
/// that are worth more were tried.
pub(super) fn most_of(
    scene: &Scene<'_>,
    worth: &Worth,
    steps: u64,
    run: &mut Run<'_>,
) -> (Vec<usize>, Vec<Pose>, bool) {
    let until = run.steps.saturating_add(steps.min(run.left()));
    let mut filling = Filling::new(scene, worth, until);
    filling.begin(run);
    filling.add_greedily(run);
    let is_all_tried = filling.improve(run);
    (filling.bodies(&filling.best), filling.poses, is_all_tried)
}

/// What is told of the copies that were chosen, when those of `found` stand in a layout that the rules have nothing
/// against; without such a layout none of them is said to go on.
pub(super) fn told(
    chosen: Vec<MoldCopy>,
    found: Option<(Vec<MoldCopy>, bool)>,
    worth: &Worth,
) -> Most {
    let (placed, is_all_tried) = found.unwrap_or_default();
    let mut left_out = chosen;
    left_out.retain(|copy| !placed.contains(copy));
    let sum = placed.iter().map(|copy| worth.of(copy.0)).sum();
    Most { placed, left_out, worth: sum, is_all_tried }
}

/// Equal copies.
struct Kind {
    /// The bodies that may be moved, those that stand first.
    bodies: Vec<usize>,
    worth: f64,
    /// What a copy covers with its clearances, at least and likely, in square millimetres.
    least: f64,
    likely: f64,
}

struct Filling<'s, 'p> {
    scene: &'s Scene<'p>,
    kinds: Vec<Kind>,
    room: f64,
    /// The best set so far.
    best: Counts,
    /// Where its bodies stand, and those that are pinned.
    poses: Vec<Pose>,
    /// Where each body stood last.
    known: BTreeMap<usize, Pose>,
    /// Sets that were tried in vain.
    failed: Vec<Counts>,
    until: u64,
}

impl<'s, 'p> Filling<'s, 'p> {
    fn new(scene: &'s Scene<'p>, worth: &Worth, until: u64) -> Self {
        let mut bodies: BTreeMap<MoldId, Vec<usize>> = BTreeMap::new();
        for i in scene.movable() {
            bodies.entry(scene.bodies[i].copy.0).or_default().push(i);
        }
        let mut rooms: Option<Rect> = None;
        let kinds: Vec<Kind> = bodies
            .into_iter()
            .map(|(mold, mut bodies)| {
                bodies.sort_by_key(|&i| (scene.bodies[i].id.is_none(), scene.bodies[i].copy.1));
                let grown = reach(scene, bodies[0]);
                let (least, likely) = covered(&scene.bodies[bodies[0]], grown);
                let room = scene.bodies[bodies[0]].room.map(|room| room.grown(Length::mm(grown)));
                rooms = rooms.into_iter().chain(room).reduce(Rect::union);
                Kind { bodies, worth: worth.of(mold), least, likely }
            })
            .collect();
        let room = rooms.map_or(0.0, |rooms| rooms.area().to_mm2());
        let pinned = scene.bodies.iter().filter(|body| body.is_pinned);
        let poses = pinned.filter_map(|body| body.pose).collect();
        let known = scene.bodies.iter().enumerate().filter_map(|(i, body)| Some((i, body.pose?)));
        let (best, known) = (vec![0; kinds.len()], known.collect());
        Self { scene, kinds, room, best, poses, known, failed: Vec::new(), until }
    }

    /// What stands is the first set to try, so that what can stay together does.
    fn begin(&mut self, run: &mut Run<'_>) {
        let stands = |&&i: &&usize| self.scene.bodies[i].id.is_some();
        let standing: Counts =
            self.kinds.iter().map(|kind| kind.bodies.iter().filter(stands).count()).collect();
        if standing.iter().any(|&n| n > 0) {
            let steps = self.left(run) / 8;
            self.attempt(&standing, steps, run);
        }
    }

    /// Adds one mold after another, the most worth for its likely cover first.
    fn add_greedily(&mut self, run: &mut Run<'_>) {
        let mut order: Vec<usize> =
            (0..self.kinds.len()).filter(|&k| self.kinds[k].worth > 0.0).collect();
        let density = |kind: &Kind| kind.worth / kind.likely.max(f64::MIN_POSITIVE);
        order.sort_by(|&a, &b| {
            density(&self.kinds[b]).total_cmp(&density(&self.kinds[a])).then(a.cmp(&b))
        });
        for kind in order {
            while self.best[kind] < self.kinds[kind].bodies.len() && self.left(run) > 0 {
                let mut next = self.best.clone();
                next[kind] += 1;
                let steps = (self.left(run) / 12).max(LEAST_STEPS);
                if !self.attempt(&next, steps, run) {
                    break;
                }
            }
        }
    }

    /// Tries sets worth more until none is left; true when none is.
    fn improve(&mut self, run: &mut Run<'_>) -> bool {
        loop {
            let (sets, is_complete) = self.sets_worth_more();
            let n_sets = u64::try_from(sets.len()).unwrap_or(u64::MAX).max(1);
            let mut is_better = false;
            for set in &sets {
                if self.left(run) == 0 {
                    return false;
                }
                let steps = (self.left(run) / n_sets * 2).max(LEAST_STEPS);
                if self.attempt(set, steps, run) {
                    is_better = true;
                    break;
                }
            }
            if !is_better {
                return is_complete;
            }
            self.add_greedily(run);
        }
    }

    /// Tries a set; when it fits and is worth more it is the best.
    fn attempt(&mut self, set: &[usize], steps: u64, run: &mut Run<'_>) -> bool {
        if self.is_hopeless(set) {
            return false;
        }
        let bodies = self.bodies(set);
        let chosen: std::collections::BTreeSet<usize> = bodies.iter().copied().collect();
        let part = self.scene.of(|i, _| chosen.contains(&i));
        let start: Vec<Pose> = part
            .start()
            .into_iter()
            .zip(&bodies)
            .map(|(here, i)| self.known.get(i).copied().unwrap_or(here))
            .collect();
        let Some(poses) = fit(&part, Some(&start), (steps, Effort::Short), run).fits() else {
            if !run.is_stopped {
                self.failed.push(set.to_vec());
            }
            return false;
        };
        self.known = bodies.iter().copied().zip(poses.iter().copied()).collect();
        run.tell(&part, &poses);
        (self.best, self.poses) = (set.to_vec(), poses);
        true
    }

    const fn left(&self, run: &Run<'_>) -> u64 {
        let left = run.left();
        let mine = self.until.saturating_sub(run.steps);
        if mine < left { mine } else { left }
    }

    /// The numbers of the bodies of a set and of those that are pinned, in order.
    fn bodies(&self, set: &[usize]) -> Vec<usize> {
        let pinned = (0..self.scene.bodies.len()).filter(|&i| self.scene.bodies[i].is_pinned);
        let chosen =
            self.kinds.iter().zip(set).flat_map(|(kind, &n)| kind.bodies.iter().copied().take(n));
        let mut bodies: Vec<usize> = pinned.chain(chosen).collect();
        bodies.sort_unstable();
        bodies
    }

    fn worth(&self, set: &[usize]) -> f64 {
        self.kinds.iter().zip(set).map(|(kind, &n)| kind.worth * count(n)).sum()
    }

    /// True when a set covers more than there is, or one within it was tried in vain.
    fn is_hopeless(&self, set: &[usize]) -> bool {
        let least: f64 = self.kinds.iter().zip(set).map(|(kind, &n)| kind.least * count(n)).sum();
        let is_within = |failed: &Counts| failed.iter().zip(set).all(|(few, many)| few <= many);
        // One mold alone keeps no clearance, so that its cover says nothing.
        let is_several = set.iter().sum::<usize>() > 1;
        (is_several && least > self.room * (1.0 + 1e-9)) || self.failed.iter().any(is_within)
    }

    /// Sets worth just more than the best, the least cover first; and whether that is all of them.
    fn sets_worth_more(&self) -> (Vec<Counts>, bool) {
        let mut found = Vec::new();
        let mut looked = 0;
        self.gather(&mut vec![0; self.kinds.len()], 0, (&mut found, &mut looked));
        let cover = |set: &Counts| -> f64 {
            self.kinds.iter().zip(set).map(|(kind, &n)| kind.likely * count(n)).sum()
        };
        found.sort_by(|a, b| cover(a).total_cmp(&cover(b)).then_with(|| a.cmp(b)));
        (found, looked < MOST_SETS * 20)
    }

    /// Counts up kind after kind, leaving out what is hopeless.
    fn gather(
        &self,
        set: &mut Counts,
        kind: usize,
        (found, looked): (&mut Vec<Counts>, &mut usize),
    ) {
        *looked += 1;
        if *looked >= MOST_SETS * 20 || found.len() >= MOST_SETS || self.is_hopeless(set) {
            *looked = if found.len() >= MOST_SETS { MOST_SETS * 20 } else { *looked };
            return;
        }
        if self.is_just_more(set) {
            found.push(set.clone());
            return;
        }
        if kind == self.kinds.len() {
            return;
        }
        for n in 0..=self.kinds[kind].bodies.len() {
            set[kind] = n;
            if n == 0 || self.kinds[kind].worth > 0.0 {
                self.gather(set, kind + 1, (found, looked));
            }
        }
        set[kind] = 0;
    }

    /// True when a set is worth more than the best, and would not be with any mold less.
    fn is_just_more(&self, set: &[usize]) -> bool {
        let (worth, best) = (self.worth(set), self.worth(&self.best));
        let more = best + 1e-9 * best.max(1.0);
        let least = self.kinds.iter().zip(set).filter(|(_, n)| **n > 0);
        let least = least.map(|(kind, _)| kind.worth).fold(f64::INFINITY, f64::min);
        worth > more && worth - least <= more
    }
}

fn count(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::INFINITY, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::CopyNumber;

    #[test]
    fn without_a_layout_nothing_is_said_to_go_on() {
        let copies: Vec<MoldCopy> = (1..=3).map(|n| (MoldId(n), CopyNumber(1))).collect();
        let found = Some((copies[..2].to_vec(), true));
        let most = told(copies.clone(), found, &Worth::ByCount);
        assert_eq!((most.placed.len(), most.left_out.len()), (2, 1));
        assert!((most.worth - 2.0).abs() < 1e-12 && most.is_all_tried);
        let none = told(copies.clone(), None, &Worth::ByCount);
        let expected = Most { placed: vec![], left_out: copies, worth: 0.0, is_all_tried: false };
        assert_eq!(none, expected);
    }
}
