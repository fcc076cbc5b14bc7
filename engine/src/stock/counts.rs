//! How often to pull each of some patterns so that a demand is covered with the fewest pulls: exact branch and bound.

use super::linear::{Relaxed, relaxed};

/// What a search for counts came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Counted {
    /// How often each pattern is pulled, and all pulls; nothing when no way was found within the most that was given.
    pub(crate) found: Option<(Vec<u32>, u32)>,
    /// No choice of these patterns needs fewer pulls; the largest number where they never cover what is wanted.
    pub(crate) bound: u32,
    /// True when all ways were looked at, so that nothing better is left.
    pub(crate) is_whole: bool,
    /// Entries of tableaux that were touched.
    pub(crate) steps: u64,
}

/// Covers `demand` with the fewest pulls of `columns`, and with at most `most`.
///
/// Depth first over how often a pattern is pulled, that with the most broken count in the relaxation first, and its counts
/// from the nearest to that. What bounds a branch is proved in whole numbers: with any weights of the kinds, no way needs
/// fewer pulls than the weight of all that is wanted over that of the weightiest pattern (from the duality of linear
/// programs, by which the best weights are those of the relaxation). After `steps` the best so far is returned.
pub(crate) fn fewest(columns: &[&[u32]], demand: &[u32], (steps, most): (u64, u32)) -> Counted {
    let left = demand.to_vec();
    let times = vec![0; columns.len()];
    let mut search = Search { columns, best: None, most, steps: 0, end: steps };
    let allowed: Vec<usize> = (0..columns.len()).collect();
    let root = search.relax(&allowed, &left);
    let root = bound(columns, &left, &whole(&root.worth)).unwrap_or(u32::MAX);
    let is_whole = search.branch(&allowed, &left, (&times, 0));
    let bound = match &search.best {
        Some((_, total)) if is_whole => *total,
        None if is_whole => root.max(most.saturating_add(1)),
        _ => root,
    };
    Counted { found: search.best, bound, is_whole, steps: search.steps }
}

struct Search<'c> {
    columns: &'c [&'c [u32]],
    best: Option<(Vec<u32>, u32)>,
    /// Ways with more pulls are of no use.
    most: u32,
    steps: u64,
    end: u64,
}

impl<'c> Search<'c> {
    /// The pulls from which on a way is of no use.
    fn ceiling(&self) -> u32 {
        self.best.as_ref().map_or(self.most.saturating_add(1), |(_, total)| *total)
    }

    fn of(&self, allowed: &[usize]) -> Vec<&'c [u32]> {
        allowed.iter().map(|&j| self.columns[j]).collect()
    }

    fn relax(&mut self, allowed: &[usize], left: &[u32]) -> Relaxed {
        let relaxed = relaxed(&self.of(allowed), left);
        self.steps = self.steps.saturating_add(relaxed.steps);
        relaxed
    }

    /// Looks at all ways to cover `left` with the patterns that are allowed; false when it had to stop.
    fn branch(&mut self, allowed: &[usize], left: &[u32], (times, used): (&[u32], u32)) -> bool {
        if left.iter().all(|&n| n == 0) {
            if used < self.ceiling() {
                self.best = Some((times.to_vec(), used));
            }
            return true;
        }
        if self.steps >= self.end {
            return false;
        }
        let relaxed = self.relax(allowed, left);
        let weights = whole(&relaxed.worth);
        let least = bound(&self.of(allowed), left, &weights);
        let Some(least) = least.filter(|least| used.saturating_add(*least) < self.ceiling()) else {
            return true;
        };
        self.round(allowed, left, (times, used), &relaxed);
        if used.saturating_add(least) >= self.ceiling() {
            return true;
        }
        let Some(at) = most_broken(&relaxed.times) else { return true };
        self.try_counts((allowed, at), left, (times, used), (&weights, relaxed.times[at]))
    }

    /// Branches over how often the pattern at `at` among those allowed is pulled.
    fn try_counts(
        &mut self,
        (allowed, at): (&[usize], usize),
        left: &[u32],
        (times, used): (&[u32], u32),
        (weights, near): (&[u64], f64),
    ) -> bool {
        let column = allowed[at];
        let rest: Vec<usize> = allowed.iter().copied().filter(|&j| j != column).collect();
        let others = self.of(&rest);
        let entries = u64::try_from(others.len() * left.len()).unwrap_or(u64::MAX);
        let mut is_whole = true;
        for n in counts_near(near, enough(self.columns[column], left)) {
            let after = less(left, self.columns[column], n);
            if self.steps >= self.end {
                return false;
            }
            self.steps = self.steps.saturating_add(entries);
            // The weights of the whole node bound each branch before it is solved.
            let Some(least) = bound(&others, &after, weights) else { continue };
            if used.saturating_add(n).saturating_add(least) >= self.ceiling() {
                continue;
            }
            let mut now = times.to_vec();
            now[column] += n;
            is_whole &= self.branch(&rest, &after, (&now, used + n));
        }
        is_whole
    }

    /// Rounds the relaxation down and covers the rest greedily.
    fn round(
        &mut self,
        allowed: &[usize],
        left: &[u32],
        (times, used): (&[u32], u32),
        relaxed: &Relaxed,
    ) {
        let (mut times, mut used, mut left) = (times.to_vec(), used, left.to_vec());
        for (&column, &count) in allowed.iter().zip(&relaxed.times) {
            let n = floor(count).min(enough(self.columns[column], &left));
            left = less(&left, self.columns[column], n);
            (times[column], used) = (times[column] + n, used.saturating_add(n));
        }
        while left.iter().any(|&n| n > 0) {
            let gain = |&j: &usize| -> f64 {
                let counts = self.columns[j].iter().zip(&left).zip(&relaxed.worth);
                // A little for each part, so that what has no price is covered too.
                counts.map(|((&n, &most), worth)| f64::from(n.min(most)) * (worth + 1e-6)).sum()
            };
            let best =
                allowed.iter().copied().max_by(|a, b| gain(a).total_cmp(&gain(b)).then(b.cmp(a)));
            let Some(column) = best.filter(|j| gain(j) > 0.0) else { return };
            let pattern = self.columns[column];
            let whole =
                pattern.iter().zip(&left).filter(|(n, _)| **n > 0).map(|(n, left)| left / n);
            let n = whole.min().unwrap_or(0).max(1);
            left = less(&left, pattern, n);
            (times[column], used) = (times[column] + n, used.saturating_add(n));
        }
        if used < self.ceiling() {
            self.best = Some((times, used));
        }
    }
}

/// The least pulls that any way needs, by these weights; `None` when a kind that is wanted is in no column.
pub(super) fn bound(columns: &[&[u32]], left: &[u32], weights: &[u64]) -> Option<u32> {
    let is_given = |k: usize| columns.iter().any(|column| column[k] > 0);
    let wanted = || (0..left.len()).filter(|&k| left[k] > 0);
    if !wanted().all(is_given) {
        return None;
    }
    let weigh = |column: &&[u32]| -> u64 {
        column
            .iter()
            .zip(left)
            .zip(weights)
            .map(|((&n, &most), w)| u64::from(n.min(most)) * w)
            .sum()
    };
    let heaviest = columns.iter().map(weigh).max().unwrap_or(0);
    let all: u64 = left.iter().zip(weights).map(|(&n, w)| u64::from(n) * w).sum();
    let by_weight = if heaviest == 0 { 0 } else { all.div_ceil(heaviest) };
    let alone = wanted().map(|k| {
        let most = columns.iter().map(|column| column[k]).max().unwrap_or(1);
        left[k].div_ceil(most.max(1))
    });
    Some(alone.max().unwrap_or(0).max(u32::try_from(by_weight).unwrap_or(u32::MAX)))
}

/// Weights in millionths, rounded down: whole numbers, so that what they prove is proved.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and a million, and the conversion saturates"
)]
pub(super) fn whole(worth: &[f64]) -> Vec<u64> {
    worth.iter().map(|w| libm::round(w.clamp(0.0, 1.0) * 1e6) as u64).collect()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "not negative, and the conversion saturates"
)]
fn floor(count: f64) -> u32 {
    libm::floor(count + 1e-7).max(0.0) as u32
}

/// The count that is farthest from whole; the largest when all are.
fn most_broken(times: &[f64]) -> Option<usize> {
    let broken = |x: f64| 0.5 - (x - libm::floor(x) - 0.5).abs();
    let score = |j: &usize| {
        if broken(times[*j]) > 1e-6 { 1.0 + broken(times[*j]) } else { times[*j] * 1e-9 }
    };
    (0..times.len()).max_by(|a, b| score(a).total_cmp(&score(b)).then(b.cmp(a)))
}

/// All counts up to `most`, the nearest to `near` first.
fn counts_near(near: f64, most: u32) -> impl Iterator<Item = u32> {
    let middle = floor(near + 0.5).min(most);
    let below = move |by: u32| middle.checked_sub(by);
    let above = move |by: u32| middle.checked_add(by).filter(|n| *n <= most);
    let is_up_first = near > f64::from(middle);
    std::iter::once(middle).chain((1..=most).flat_map(move |by| {
        let sides = if is_up_first { [above(by), below(by)] } else { [below(by), above(by)] };
        sides.into_iter().flatten()
    }))
}

/// How often a pattern is of use at most.
fn enough(column: &[u32], left: &[u32]) -> u32 {
    let times = column.iter().zip(left).filter(|(n, _)| **n > 0).map(|(n, left)| left.div_ceil(*n));
    times.max().unwrap_or(0)
}

fn less(left: &[u32], column: &[u32], n: u32) -> Vec<u32> {
    left.iter()
        .zip(column)
        .map(|(&left, &give)| left.saturating_sub(give.saturating_mul(n)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All ways to cut one length into some of these, as counts; only those to which nothing can be added.
    fn cuts(length: u32, items: &[u32]) -> Vec<Vec<u32>> {
        let mut found = Vec::new();
        gather(length, items, &mut Vec::new(), &mut found);
        found
    }

    fn gather(left: u32, items: &[u32], counts: &mut Vec<u32>, found: &mut Vec<Vec<u32>>) {
        let Some(&item) = items.get(counts.len()) else {
            if items.iter().all(|item| *item > left) {
                found.push(counts.clone());
            }
            return;
        };
        for n in (0..=left / item).rev() {
            counts.push(n);
            gather(left - n * item, items, counts, found);
            counts.pop();
        }
    }

    /// The fewest lengths, with what was proved of them.
    fn fewest_lengths(length: u32, items: &[(u32, u32)]) -> (u32, u32, bool) {
        let (sizes, demand): (Vec<u32>, Vec<u32>) = items.iter().copied().unzip();
        let patterns = cuts(length, &sizes);
        let columns: Vec<&[u32]> = patterns.iter().map(Vec::as_slice).collect();
        let counted = fewest(&columns, &demand, (400_000_000, u32::MAX / 2));
        let (times, total) = counted.found.expect("every item fits a length");
        for (k, wanted) in demand.iter().enumerate() {
            let given: u32 = patterns.iter().zip(&times).map(|(pattern, n)| pattern[k] * n).sum();
            assert!(given >= *wanted, "{k}: {given} of {wanted}");
        }
        assert_eq!(times.iter().sum::<u32>(), total);
        (total, counted.bound, counted.is_whole)
    }

    // V. Chvatal, Linear Programming (1983), chapter 13: rolls of 100 in, and 453 of them (from memory).
    #[test]
    fn textbook_rolls_are_cut_from_as_few_as_is_proved() {
        let items = [(45, 97), (36, 610), (31, 395), (14, 211)];
        assert_eq!(fewest_lengths(100, &items), (453, 453, true));
    }

    // The paper machine of Wikipedia, "Cutting stock problem": 13 widths out of 5600 mm; 407160 mm of product need 73 rolls at
    // least, and with 73 it can be done (the number with which it can be done from memory).
    #[test]
    fn a_paper_machine_is_planned_as_published() {
        let items = [
            (1380, 22),
            (1520, 25),
            (1560, 12),
            (1710, 14),
            (1820, 18),
            (1880, 18),
            (1930, 20),
            (2000, 10),
            (2050, 12),
            (2100, 14),
            (2140, 16),
            (2150, 18),
            (2200, 20),
        ];
        let (total, bound, _) = fewest_lengths(5600, &items);
        assert_eq!((total, bound), (73, 73));
    }

    // The smallest known kind of instance whose relaxation rounds up to less than the optimum: 132 into 2 of 44, 3 of 33 and
    // 6 of 12 needs 3, and the relaxation is 259/132 (G. Scheithauer and J. Terno, and their later surveys; from memory).
    #[test]
    fn where_the_relaxation_says_too_little_the_search_proves_the_rest() {
        assert_eq!(fewest_lengths(132, &[(44, 2), (33, 3), (12, 6)]), (3, 3, true));
    }

    #[test]
    fn what_cannot_be_covered_is_told() {
        let none = fewest(&[&[1, 0]], &[2, 1], (1000, 100));
        assert_eq!((none.found, none.bound), (None, u32::MAX));
        let too_many = fewest(&[&[1, 0], &[0, 1]], &[2, 1], (1000, 2));
        assert_eq!((too_many.found, too_many.bound), (None, 3));
    }

    /// Every way there is, counted up.
    fn by_hand(columns: &[Vec<u32>], left: &[u32]) -> Option<u32> {
        if left.iter().all(|&n| n == 0) {
            return Some(0);
        }
        let (column, rest) = columns.split_first()?;
        (0..=enough(column, left))
            .filter_map(|n| Some(n + by_hand(rest, &less(left, column, n))?))
            .min()
    }

    #[test]
    fn small_cases_agree_with_counting_up_all_ways() {
        let mut random = crate::search::Random::new(crate::search::Seed(7));
        let mut up_to = |n: u64| u32::try_from(random.next() % (n + 1)).expect("small");
        for case in 0..400 {
            let n_kinds = 1 + up_to(3);
            let demand: Vec<u32> = (0..n_kinds).map(|_| up_to(5)).collect();
            let columns: Vec<Vec<u32>> =
                (0..=up_to(4)).map(|_| (0..n_kinds).map(|_| up_to(2)).collect()).collect();
            let few: Vec<&[u32]> = columns.iter().map(Vec::as_slice).collect();
            let found = fewest(&few, &demand, (10_000_000, 1000));
            let want = by_hand(&columns, &demand);
            assert_eq!(
                found.found.as_ref().map(|(_, total)| *total),
                want,
                "{case}: {columns:?} {demand:?}"
            );
            assert!(found.is_whole && found.bound >= want.unwrap_or(0), "{case}");
        }
    }
}
