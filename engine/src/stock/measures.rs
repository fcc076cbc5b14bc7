//! The measures that rectangles of a sheet can have while it is cut up, and where each can be parted.
//!
//! A cut somewhere can be moved to where blanks side by side end, without losing any (normal patterns: J. C. Herz, IBM J. Res.
//! Dev. 16, 1972; N. Christofides, C. Whitlock, Oper. Res. 25, 1977). So only such places are tried, from the sheet and
//! from every rectangle that they leave.

use std::collections::BTreeSet;

/// Measures along one edge at most while all are tried, and when fewer are.
const MEASURES: (usize, usize) = (900, 140);

/// The measures of the two edges of a sheet, all of them or only rows of blanks where all would compare more than `most`.
pub(super) fn measures(
    whole: (i64, i64),
    sides: &(BTreeSet<i64>, BTreeSet<i64>),
    least: i64,
    most: u64,
) -> (Along, Along) {
    let rows = |whole, sides| Along::rows(whole, sides, least, MEASURES.1);
    all_measures(whole, sides, (least, true), most)
        .or_else(|| all_measures(whole, sides, (least, false), most).filter(|_| least > 0))
        .unwrap_or_else(|| (rows(whole.0, &sides.0), rows(whole.1, &sides.1)))
}

/// All measures of the two edges, where they compare no more than `most`.
pub(super) fn all_measures(
    whole: (i64, i64),
    sides: &(BTreeSet<i64>, BTreeSet<i64>),
    (least, is_padded): (i64, bool),
    most: u64,
) -> Option<(Along, Along)> {
    let way = (least, is_padded && least > 0);
    // Where few comparisons are allowed, more measures would be too many to compare; finding them costs time too.
    let longest = if most < 10_000_000 { MEASURES.0 / 2 } else { MEASURES.0 };
    let widths = Along::all(whole.0, &sides.0, way, longest)?;
    let depths = Along::all(whole.1, &sides.1, way, longest)?;
    (compared(&widths, &depths) <= most).then_some((widths, depths))
}

/// The measures that can come about along one edge, in order, and how each can be parted.
pub(super) struct Along {
    pub(super) values: Vec<i64>,
    /// For each the numbers of the two parts, `None` where a part holds no blank, and where the cut runs.
    pub(super) splits: Vec<Vec<(usize, Option<usize>, i64)>>,
    /// Whether no way of cutting needs any other.
    pub(super) is_complete: bool,
}

impl Along {
    /// All measures, if they are no more than `most`.
    ///
    /// Where strips have a least width, two pieces side by side may both have a strip in each of their rows, so that
    /// neither ends where blanks do: the narrower is as narrow as may be then, blanks and least strips. `is_padded` takes
    /// those ends in too; without them the measures are not complete.
    fn all(
        whole: i64,
        sides: &BTreeSet<i64>,
        (least, is_padded): (i64, bool),
        most: usize,
    ) -> Option<Self> {
        let padded = sides.iter().map(|side| side + least).filter(|_| is_padded);
        let ends = ends(whole, &sides.iter().copied().chain(padded).collect(), most)?;
        let shortest = sides.first().copied().unwrap_or(i64::MAX);
        // Every end that some rectangle can be cut at is one that the sheet can be cut at.
        let inside = ends.iter().copied().filter(|&end| end >= least && whole - end >= least);
        let mut values: BTreeSet<i64> =
            inside.filter(|&end| end >= shortest && end < whole).chain([whole]).collect();
        // What a cut leaves is brought to an end where no strip is too narrow, and is there already then.
        let mut open: Vec<i64> =
            if least == 0 { Vec::new() } else { values.iter().copied().collect() };
        while let Some(value) = open.pop() {
            let parts = ends.range(least.min(value)..value).map(|end| value - end);
            for rest in parts.take_while(|&rest| rest >= least.max(shortest)) {
                if values.insert(rest) {
                    open.push(rest);
                }
            }
            if values.len() > most {
                return None;
            }
        }
        let rest = |rest: i64| if least == 0 { reduced(rest, &ends) } else { rest };
        Some(Self::split(values, &ends, (least, shortest), &rest, least == 0 || is_padded))
    }

    /// Rows of blanks alone, those of the fewest sizes first; what is over beside a row is cut off at once.
    fn rows(whole: i64, sides: &BTreeSet<i64>, least: i64, most: usize) -> Self {
        let ends = simple_ends(whole, sides, most);
        let shortest = sides.first().copied().unwrap_or(i64::MAX);
        let values = ends.iter().copied().filter(|&end| end >= shortest).chain([whole]).collect();
        let rest = |rest: i64| match ends.contains(&rest) {
            true => rest,
            false => reduced(rest - least, &ends),
        };
        Self::split(values, &ends, (least, shortest), &rest, false)
    }

    /// How each measure can be parted, `reduced` telling which one stands for what a cut leaves.
    fn split(
        values: BTreeSet<i64>,
        ends: &BTreeSet<i64>,
        (least, shortest): (i64, i64),
        reduced: &dyn Fn(i64) -> i64,
        is_complete: bool,
    ) -> Self {
        let values: Vec<i64> = values.into_iter().collect();
        let number = |value: i64| values.binary_search(&value).ok();
        let splits = values.iter().map(|&value| {
            // Where no strip is too narrow, the shorter part may as well come first; one without a blank comes last.
            let is_first = |end: i64| end * 2 <= value || value - end < shortest;
            let may = |end: i64| if least == 0 { is_first(end) } else { value - end >= least };
            let inside = ends.range(..value).filter(|&&end| end >= least && may(end));
            inside
                .filter_map(|&end| Some((number(end)?, number(reduced(value - end)), end)))
                .collect()
        });
        let splits = splits.collect();
        Self { values, splits, is_complete }
    }

    pub(super) fn n_splits(&self) -> u64 {
        let count: usize = self.splits.iter().map(Vec::len).sum();
        u64::try_from(count).unwrap_or(u64::MAX)
    }
}

/// Ways to part all rectangles of these measures.
pub(super) fn compared(widths: &Along, depths: &Along) -> u64 {
    let n = |along: &Along| u64::try_from(along.values.len()).unwrap_or(u64::MAX);
    let (across, along) = (widths.n_splits(), depths.n_splits());
    across.saturating_mul(n(depths)).saturating_add(along.saturating_mul(n(widths)))
}

/// Sums of sides up to the whole: where blanks side by side end; nothing when they are more than `most`.
fn ends(whole: i64, sides: &BTreeSet<i64>, most: usize) -> Option<BTreeSet<i64>> {
    let mut ends = BTreeSet::from([0]);
    let mut open: Vec<i64> = vec![0];
    while let Some(sum) = open.pop() {
        for end in sides.iter().map(|side| sum + side).filter(|&end| end <= whole) {
            if ends.insert(end) {
                open.push(end);
            }
        }
        if ends.len() > most {
            return None;
        }
    }
    Some(ends)
}

/// As many of those sums as are looked at, those of the fewest different sides first.
fn simple_ends(whole: i64, sides: &BTreeSet<i64>, most: usize) -> BTreeSet<i64> {
    let sides: Vec<i64> = sides.iter().copied().filter(|&side| side > 0).collect();
    let mut ends = BTreeSet::from([0]);
    // Sums, each with the number of the first side that may still be added.
    let mut last: Vec<(i64, usize)> = vec![(0, 0)];
    while !last.is_empty() {
        let mut next = Vec::new();
        for &(sum, from) in &last {
            for (n, &side) in sides.iter().enumerate().skip(from) {
                let mut end = sum + side;
                while end <= whole {
                    next.push((end, n + 1));
                    ends.insert(end);
                    if ends.len() > most || next.len() > most * 100 {
                        return ends;
                    }
                    end += side;
                }
            }
        }
        last = next;
    }
    ends
}

/// The longest row of blanks that fits.
fn reduced(length: i64, ends: &BTreeSet<i64>) -> i64 {
    ends.range(..=length).next_back().copied().unwrap_or(0)
}
