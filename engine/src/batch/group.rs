//! Plans the pulls of one sheet: asks for the layouts that would take fewer pulls, one after another, until a bound is met.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;

use super::answer::{Bottleneck, Bounds};
use super::distinct::{none_with, with_fewest_patterns};
use super::known::{Counts, Hope, Hoped, Known, Layout, is_part};
use super::run::Run;
use crate::arrange::{Attempt, Bench, MoldCopy};
use crate::geometry::Pose;
use crate::plan::{MoldId, limits};
use crate::search::Seed;
use crate::stock::{fewest, relaxed};

/// What is spent on one set of molds, in the first round and in those that ask again what was tried in vain.
const SLICES: [u64; 3] = [60_000, 240_000, 960_000];
/// Sets that likely cover this share of the room are tried first, then more crowded ones.
const LEVELS: [f64; 4] = [0.7, 0.8, 0.9, 1.02];
/// Entries of tableaux for one count, and for one that is to prove something.
const ENTRIES: u64 = 4_000_000;
const MORE_ENTRIES: u64 = 40_000_000;
/// More pulls than any batch within the limits takes.
const ENDLESS: u32 = u32::MAX / 2;

/// The molds of one sheet.
pub(super) struct Group<'b> {
    pub(super) bench: &'b Bench,
    pub(super) kinds: Vec<MoldId>,
    pub(super) demand: Vec<u32>,
    pub(super) seed: Seed,
    pub(super) known: Known,
    /// Where each copy stood last.
    pub(super) poses: BTreeMap<MoldCopy, Pose>,
}

/// How often to pull which layouts.
#[derive(Clone, Debug)]
pub(super) struct Solved {
    /// The number of a layout, and how often it is pulled.
    pub(super) times: Vec<(usize, u32)>,
    pub(super) total: u32,
    pub(super) bounds: Bounds,
    /// No way of as few pulls takes fewer layouts.
    pub(super) is_fewest_layouts: bool,
}

/// How a set of columns is pulled: numbers of columns, and all pulls.
type Times = (Vec<u32>, u32);

impl Group<'_> {
    /// Tries each mold alone, whatever of the budget is left. Gives those that find no place, and those that were not
    /// tried because it was stopped.
    pub(super) fn alone(&mut self, run: &mut Run<'_>) -> (BTreeSet<MoldId>, BTreeSet<MoldId>) {
        let (mut without, mut untried) = (BTreeSet::new(), BTreeSet::new());
        for k in 0..self.kinds.len() {
            let mut set = vec![0; self.kinds.len()];
            set[k] = 1;
            let is_known = self.known.layouts.iter().any(|layout| layout.counts[k] > 0);
            if is_known || self.attempt(&set, (SLICES[1], SLICES[1]), run) {
                continue;
            }
            if run.is_stopped {
                untried.insert(self.kinds[k]);
            } else {
                without.insert(self.kinds[k]);
            }
        }
        (without, untried)
    }

    /// The fewest pulls that are found with at most `caps` of each mold on a blank, and with the fewest layouts.
    pub(super) fn solve(&mut self, caps: &[u32], run: &mut Run<'_>) -> Option<Solved> {
        let most = run.until;
        run.until = run.steps + run.left() / 100 * 85;
        let (mut best, mut bounds) = (self.count(caps, ENDLESS, run), self.bounds(caps, run));
        for (slice, level) in SLICES.iter().flat_map(|s| LEVELS.map(|level| (*s, level))) {
            let hope = Hope { given_up: Some(slice), most: Some(level) };
            loop {
                let total = best.as_ref().map_or(ENDLESS, |(_, total)| *total);
                run.pulls = (total < ENDLESS).then_some(total);
                run.at_least = bounds.least();
                if total <= bounds.least() || run.left() == 0 {
                    break;
                }
                let Some(next) = self.wanted(caps, hope, total, run) else { break };
                let n_never = self.known.never.len();
                if self.attempt(&next, (slice, run.left()), run) {
                    best = self.count(caps, total, run).or(best);
                } else if self.known.never.len() > n_never {
                    bounds = self.bounds(caps, run);
                }
            }
        }
        run.until = most;
        let (times, total) = best?;
        let (times, is_fewest_layouts) = self.fewer_layouts(caps, (times, total), run);
        Some(Solved { times, total, bounds, is_fewest_layouts })
    }

    /// The fewest pulls with the layouts that are known, at most `most`.
    fn count(&self, caps: &[u32], most: u32, run: &mut Run<'_>) -> Option<Times> {
        let columns = self.known.columns(caps);
        let counted = fewest(&slices(&columns), &self.demand, (MORE_ENTRIES, most));
        run.counted(counted.steps);
        counted.found
    }

    /// What is proved about the pulls of any plan.
    fn bounds(&self, caps: &[u32], run: &mut Run<'_>) -> Bounds {
        let alone = |k: usize| self.demand[k].div_ceil(caps[k].max(1));
        let worst = (0..self.kinds.len()).max_by_key(|&k| (alone(k), std::cmp::Reverse(k)));
        let room = self.known.room;
        let covered = self.demand.iter().zip(&self.known.least);
        let covered: f64 = covered.map(|(&n, least)| f64::from(n) * least.min(room)).sum();
        let surface = if room > 0.0 { libm::ceil(covered / room - 1e-6) } else { 0.0 };
        let Hoped { sets, is_all, entries } = self.known.hoped(caps, Hope::ALL);
        run.counted(entries);
        let together = is_all.then(|| {
            let columns: Vec<&[u32]> = sets.iter().map(Vec::as_slice).collect();
            let counted = fewest(&columns, &self.demand, (MORE_ENTRIES, ENDLESS));
            run.counted(counted.steps);
            counted.bound.min(ENDLESS)
        });
        Bounds {
            mold: worst.map(|k| (self.kinds[k], alone(k))),
            surface: whole(surface),
            together: together.unwrap_or(0),
        }
    }

    /// The set of molds that is worth the next try: it stands in a plan of fewer pulls than `total`, if it stands at all.
    fn wanted(&self, caps: &[u32], hope: Hope, total: u32, run: &mut Run<'_>) -> Option<Counts> {
        let known = self.known.columns(caps);
        let (sets, is_all) = self.unknown(caps, hope, run);
        let columns: Vec<&[u32]> =
            slices(&known).into_iter().chain(sets.iter().map(Vec::as_slice)).collect();
        let counted = fewest(&columns, &self.demand, (ENTRIES, total.saturating_sub(1)));
        run.counted(counted.steps);
        if let Some((times, _)) = counted.found {
            let new = (known.len()..columns.len()).filter(|&j| times[j] > 0);
            let most = new.max_by_key(|&j| (times[j], std::cmp::Reverse(j)));
            return most.map(|j| columns[j].to_vec());
        }
        if is_all {
            return None;
        }
        // Too many sets to list: one that the relaxation says would help.
        let priced = relaxed(&slices(&known), &self.demand);
        run.counted(priced.steps);
        let set = self.known.greedy(caps, &priced.worth, hope);
        let worth: f64 = set.iter().zip(&priced.worth).map(|(&n, w)| f64::from(n) * w).sum();
        let is_known = known.iter().any(|(_, counts)| is_part(&set, counts));
        (worth > 1.0 + 1e-6 && !is_known).then_some(set)
    }

    /// The sets that are hoped for and not known to stand, and whether these are all.
    fn unknown(&self, caps: &[u32], hope: Hope, run: &mut Run<'_>) -> (Vec<Counts>, bool) {
        let Hoped { mut sets, is_all, entries } = self.known.hoped(caps, hope);
        run.counted(entries);
        let is_known =
            |set: &Counts| self.known.layouts.iter().any(|layout| is_part(set, &layout.counts));
        sets.retain(|set| !is_known(set));
        (sets, is_all)
    }

    /// The same pulls with as few layouts as are found; tries layouts that would make them fewer.
    fn fewer_layouts(
        &mut self,
        caps: &[u32],
        (times, total): Times,
        run: &mut Run<'_>,
    ) -> (Vec<(usize, u32)>, bool) {
        let mut known = self.known.columns(caps);
        let mut best = self.regroup(&slices(&known), (&times, total), run);
        for level in LEVELS {
            let hope = Hope { given_up: Some(SLICES[0]), most: Some(level) };
            while n_used(&best) > 1 && run.left() > SLICES[0] {
                let (sets, _) = self.unknown(caps, hope, run);
                let columns: Vec<&[u32]> =
                    slices(&known).into_iter().chain(sets.iter().map(Vec::as_slice)).collect();
                let so_far: Vec<u32> = best.iter().copied().chain(sets.iter().map(|_| 0)).collect();
                let fewer = self.regroup(&columns, (&so_far, total), run);
                let new = (known.len()..columns.len()).find(|&j| fewer[j] > 0);
                let Some(new) = new.filter(|_| n_used(&fewer) < n_used(&best)) else { break };
                let next = columns[new].to_vec();
                if self.attempt(&next, (SLICES[0], run.left()), run) {
                    let was = by_layout(&known, &best);
                    let after = self.known.columns(caps);
                    let Some(from) = self.carried(&after, &was) else { break };
                    known = after;
                    best = self.regroup(&slices(&known), (&from, total), run);
                }
            }
        }
        (by_layout(&known, &best), self.is_fewest(caps, n_used(&best), total, run))
    }

    fn regroup(
        &self,
        columns: &[&[u32]],
        (times, total): (&[u32], u32),
        run: &mut Run<'_>,
    ) -> Vec<u32> {
        let (best, steps) = with_fewest_patterns(columns, &self.demand, (times, total), ENTRIES);
        run.counted(steps);
        best
    }

    /// Whether with all sets that are not ruled out fewer than `n` layouts do not do.
    fn is_fewest(&self, caps: &[u32], n: usize, total: u32, run: &mut Run<'_>) -> bool {
        let Hoped { sets, is_all, entries } = self.known.hoped(caps, Hope::ALL);
        run.counted(entries);
        if n <= 1 || !is_all {
            return n <= 1;
        }
        let columns: Vec<&[u32]> = sets.iter().map(Vec::as_slice).collect();
        let (is_proved, steps) = none_with(n - 1, &columns, &self.demand, (total, ENTRIES));
        run.counted(steps);
        is_proved
    }

    /// The counts of layouts in columns that were listed later; a layout may have become part of another.
    fn carried(&self, columns: &[(usize, Counts)], was: &[(usize, u32)]) -> Option<Vec<u32>> {
        let mut times = vec![0; columns.len()];
        for &(number, n) in was {
            let counts = &self.known.layouts.get(number)?.counts;
            let is_now =
                |(known, column): &(usize, Counts)| *known == number || is_part(counts, column);
            times[columns.iter().position(is_now)?] += n;
        }
        Some(times)
    }

    /// What one more copy of each mold saves, found by planning again.
    pub(super) fn bottlenecks(
        &mut self,
        caps: &[u32],
        total: u32,
        run: &mut Run<'_>,
    ) -> Vec<Bottleneck> {
        let scarce: Vec<usize> = (0..caps.len())
            .filter(|&k| (1..limits::COPIES).contains(&caps[k]) && caps[k] < self.demand[k])
            .collect();
        let mut found = Vec::new();
        for (asked, &k) in scarce.iter().enumerate() {
            let mut more = caps.to_vec();
            more[k] += 1;
            let at_best = total.saturating_sub(self.bounds(&more, run).least());
            let others = u64::try_from(scarce.len() - asked).unwrap_or(1);
            run.until = run.steps + run.part(100) / others;
            let saves = if at_best == 0 {
                0
            } else {
                self.solve(&more, run).map_or(0, |solved| total.saturating_sub(solved.total))
            };
            found.push(Bottleneck { mold: self.kinds[k], saves, at_best });
        }
        found.sort_by(|a, b| b.saves.cmp(&a.saves).then(a.mold.cmp(&b.mold)));
        found
    }

    /// Tries to stand a set of molds with `slice` steps, but no more than are `left`; what comes of it is known from then on.
    fn attempt(&mut self, set: &[u32], (slice, left): (u64, u64), run: &mut Run<'_>) -> bool {
        let counts: BTreeMap<MoldId, u32> =
            self.kinds.iter().copied().zip(set.iter().copied()).filter(|(_, n)| *n > 0).collect();
        let steps = if run.is_stopped { 0 } else { slice.min(left) };
        let seed = Seed(self.seed.0.wrapping_add(u64::from(run.tried)));
        let mut hears = |news: &crate::arrange::Progress<'_>| {
            run.tell(news.done);
            if run.is_stopped { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        let (came, spent) = self.bench.attempt(&counts, &self.poses, (seed, steps), &mut hears);
        run.steps = run.steps.saturating_add(spent);
        run.tried += 1;
        run.tell(0);
        match came {
            Attempt::Fits(placements, spare) => {
                let here = placements.values().map(|p| ((p.mold, p.copy), p.pose));
                self.poses.extend(here);
                let spare = Some(spare).filter(|spare| spare.is_finite());
                let counts = set.to_vec();
                self.known.layouts.push(Layout { counts, placements, spare, pull: None });
                true
            }
            Attempt::Never => {
                self.known.never.push(set.to_vec());
                false
            }
            Attempt::Unknown => {
                if !run.is_stopped {
                    // What the budget cut short counts as tried with what it got, lest it be asked for ever.
                    self.known.missed.push((set.to_vec(), slice));
                }
                false
            }
        }
    }
}

/// The layouts that columns are of, and how often each is pulled.
fn by_layout(columns: &[(usize, Counts)], times: &[u32]) -> Vec<(usize, u32)> {
    let used = columns.iter().zip(times).filter(|(_, n)| **n > 0);
    used.map(|((number, _), &n)| (*number, n)).collect()
}

fn slices(columns: &[(usize, Counts)]) -> Vec<&[u32]> {
    columns.iter().map(|(_, counts)| counts.as_slice()).collect()
}

fn n_used(times: &[u32]) -> usize {
    times.iter().filter(|n| **n > 0).count()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of pulls, and the conversion saturates"
)]
fn whole(count: f64) -> u32 {
    count.max(0.0) as u32
}
