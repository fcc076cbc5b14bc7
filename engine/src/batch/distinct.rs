//! The fewest different patterns that cover a demand within a number of pulls.

use crate::stock::fewest;

/// Patterns looked at together at most; more are never set out on purpose.
const MOST_TOGETHER: usize = 12;

/// What is looked for, and what was found.
struct Search<'c> {
    columns: &'c [&'c [u32]],
    demand: &'c [u32],
    total: u32,
    steps: u64,
    end: u64,
    found: Option<(Vec<u32>, u64)>,
}

/// `times`, which are `total` pulls in all, again with as few different patterns as can be found within `steps`; of two equal ways, that which makes fewer
/// parts too many. Also the entries of tableaux that were touched.
///
/// All sets of one pattern are tried, then all of two, and so on. A kind that no chosen pattern gives has to come from
/// one of those that do, so only these are tried next.
pub(super) fn with_fewest_patterns(
    columns: &[&[u32]],
    demand: &[u32],
    (times, total): (&[u32], u32),
    steps: u64,
) -> (Vec<u32>, u64) {
    let mut best = fewer_by_leaving_out(columns, demand, (times, total));
    let used = best.iter().filter(|n| **n > 0).count();
    let mut search = Search { columns, demand, total, steps: 0, end: steps, found: None };
    for together in 1..=used.min(MOST_TOGETHER) {
        let is_whole = search.choose(&mut Vec::new(), together, 0);
        if let Some((times, over)) = search.found.take() {
            if together < used || over < too_many(columns, demand, &best) {
                best = times;
            }
            break;
        }
        if !is_whole {
            break;
        }
    }
    (best, search.steps)
}

/// Whether it is proved, within so many steps, that no way of `total` pulls takes `n` patterns or fewer.
pub(super) fn none_with(
    n: usize,
    columns: &[&[u32]],
    demand: &[u32],
    (total, steps): (u32, u64),
) -> (bool, u64) {
    let mut search = Search { columns, demand, total, steps: 0, end: steps, found: None };
    let is_proved = (1..=n)
        .all(|together| search.choose(&mut Vec::new(), together, 0) && search.found.is_none());
    (is_proved, search.steps)
}

/// Leaves out one pattern after another that the others can do without.
fn fewer_by_leaving_out(
    columns: &[&[u32]],
    demand: &[u32],
    (times, total): (&[u32], u32),
) -> Vec<u32> {
    const STEPS: u64 = 200_000;
    let mut best = times.to_vec();
    loop {
        let used: Vec<usize> = (0..best.len()).filter(|&j| best[j] > 0).collect();
        let without = used.iter().find_map(|&gone| {
            let kept: Vec<usize> = used.iter().copied().filter(|j| *j != gone).collect();
            let few: Vec<&[u32]> = kept.iter().map(|&j| columns[j]).collect();
            let (times, _) = fewest(&few, demand, (STEPS, total)).found?;
            Some(spread_out(&times, &kept, columns.len()))
        });
        match without {
            Some(fewer) => best = fewer,
            None => return best,
        }
    }
}

/// Counts of a choice of patterns as counts of all.
fn spread_out(times: &[u32], chosen: &[usize], n: usize) -> Vec<u32> {
    let mut all = vec![0; n];
    for (&j, &count) in chosen.iter().zip(times) {
        all[j] = count;
    }
    all
}

/// Parts beyond what is wanted.
pub(super) fn too_many(columns: &[&[u32]], demand: &[u32], times: &[u32]) -> u64 {
    let given = |k: usize| -> u64 {
        columns.iter().zip(times).map(|(column, &n)| u64::from(column[k]) * u64::from(n)).sum()
    };
    (0..demand.len()).map(|k| given(k).saturating_sub(u64::from(demand[k]))).sum()
}

impl Search<'_> {
    /// Tries all sets of `more` patterns beside those chosen; false when it had to stop.
    fn choose(&mut self, chosen: &mut Vec<usize>, more: usize, free_from: usize) -> bool {
        if self.steps >= self.end {
            return false;
        }
        if more == 0 {
            return self.count(chosen);
        }
        let lacks =
            |&k: &usize| self.demand[k] > 0 && chosen.iter().all(|&j| self.columns[j][k] == 0);
        let lacking = (0..self.demand.len()).find(lacks);
        // Where all kinds are given the rest is chosen in order, so that each set comes once.
        let from = if lacking.is_some() { 0 } else { free_from };
        let mut is_whole = true;
        for j in from..self.columns.len() {
            if chosen.contains(&j) || lacking.is_some_and(|k| self.columns[j][k] == 0) {
                continue;
            }
            chosen.push(j);
            let next = if lacking.is_some() { 0 } else { j + 1 };
            is_whole &= self.choose(chosen, more - 1, next);
            chosen.pop();
        }
        is_whole
    }

    /// Counts with the patterns chosen; false when it had to stop.
    fn count(&mut self, chosen: &[usize]) -> bool {
        let few: Vec<&[u32]> = chosen.iter().map(|&j| self.columns[j]).collect();
        let left = self.end.saturating_sub(self.steps);
        let counted = fewest(&few, self.demand, (left, self.total));
        self.steps = self.steps.saturating_add(counted.steps);
        if let Some((times, _)) = counted.found {
            let times = spread_out(&times, chosen, self.columns.len());
            let over = too_many(self.columns, self.demand, &times);
            if self.found.as_ref().is_none_or(|(_, least)| over < *least) {
                self.found = Some((times, over));
            }
        }
        counted.is_whole
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stock::fewest;

    /// The fewest different patterns in any way of `total` pulls, and then the fewest parts too many, by trying all.
    fn by_hand(columns: &[&[u32]], demand: &[u32], total: u32) -> Option<(usize, u64)> {
        fn all(n: usize, total: u32, times: &mut Vec<u32>, see: &mut dyn FnMut(&[u32])) {
            if times.len() == n {
                see(times);
                return;
            }
            for count in 0..=total {
                times.push(count);
                all(n, total - count, times, see);
                times.pop();
            }
        }
        let mut best: Option<(usize, u64)> = None;
        all(columns.len(), total, &mut Vec::new(), &mut |times| {
            let given =
                |k: usize| -> u32 { columns.iter().zip(times).map(|(c, n)| c[k] * n).sum() };
            if (0..demand.len()).all(|k| given(k) >= demand[k]) {
                let way =
                    (times.iter().filter(|n| **n > 0).count(), too_many(columns, demand, times));
                best = best.into_iter().chain([way]).min();
            }
        });
        best
    }

    #[test]
    fn as_few_patterns_are_used_as_trying_all_ways_finds() {
        let mut random = crate::search::Random::new(crate::search::Seed(3));
        let mut up_to = |n: u64| u32::try_from(random.next() % (n + 1)).expect("small");
        let (mut compared, mut least) = (0, 0);
        for case in 0..300 {
            let n_kinds = 1 + up_to(2);
            let demand: Vec<u32> = (0..n_kinds).map(|_| 1 + up_to(4)).collect();
            let columns: Vec<Vec<u32>> =
                (0..=up_to(4)).map(|_| (0..n_kinds).map(|_| up_to(2)).collect()).collect();
            let few: Vec<&[u32]> = columns.iter().map(Vec::as_slice).collect();
            let Some((times, total)) = fewest(&few, &demand, (1_000_000, 100)).found else {
                continue;
            };
            let (best, _) = with_fewest_patterns(&few, &demand, (&times, total), 100_000_000);
            let n = best.iter().filter(|n| **n > 0).count();
            let want = by_hand(&few, &demand, total).expect("there is a way");
            assert_eq!(n, want.0, "{case}: {columns:?} {demand:?} {best:?}");
            let over = too_many(&few, &demand, &best);
            let given = |k: usize| -> u32 { few.iter().zip(&best).map(|(c, n)| c[k] * n).sum() };
            let is_covered = (0..demand.len()).all(|k| given(k) >= demand[k]);
            assert!(is_covered && best.iter().sum::<u32>() <= total, "{case}: {best:?}");
            // Not worse than what it began with, and mostly the least there is.
            let begun = times.iter().filter(|n| **n > 0).count();
            assert!(n < begun || over <= too_many(&few, &demand, &times), "{case}: {best:?}");
            least += u32::from(over == want.1);
            assert!(n == 1 || none_with(n - 1, &few, &demand, (total, 100_000_000)).0, "{case}");
            compared += 1;
        }
        assert!(compared > 100 && least * 10 > compared * 9, "{least} of {compared}");
    }
}
