//! The fewest sheets for several sizes with their counts, proved: all that a sheet or an offcut can give is listed, and the
//! lists are chosen from.
//!
//! What a rectangle can give is a list of counts, none of which gives less of every size than another; the lists of two parts
//! make that of the whole, from the smallest rectangle on. Where the lists grow too long nothing is said.

use std::collections::BTreeMap;

use super::bound::alike;
use super::counts::fewest;
use super::cutting::micrometres;
use super::grow::{Grow, How};
use super::measures::{Along, all_measures};
use super::pattern::{least_grown, lying};
use super::several::{MOST_SIZES, limited, take};
use super::tree::Axis;
use super::{Cutting, Job, Pattern, StockError, Wanted};
use crate::plan::Size;

/// Ways to part all rectangles of one piece at most, and counts of one rectangle.
const LISTED: (u64, usize) = (2_000_000, 1500);
/// Counts that are held against each other for a job at most, and what may be left after the offcuts.
const WORK: (u64, usize) = (1_000_000, 400);
/// Entries of tableaux that choosing the sheets may touch.
const ENTRIES: u64 = 1_500_000;

/// How many of each size.
type Counts = [u16; MOST_SIZES];
/// Offcuts by their number with their patterns, and patterns of sheets with how often each is cut.
type Chosen = (Vec<(usize, Pattern)>, Vec<(Pattern, u32)>);

/// What came of it.
pub(super) struct Exact {
    /// A way that takes fewer sheets than were known.
    pub(super) found: Option<Chosen>,
    /// No way takes fewer; 0 where that is not known.
    pub(super) least: u32,
}

impl Exact {
    const NOTHING: Self = Self { found: None, least: 0 };
}

/// Looks for a way with fewer sheets than `known`, which are at least `least`.
pub(super) fn exact(
    job: &Job,
    cutting: &Cutting,
    (known, least): (u32, u32),
) -> Result<Exact, StockError> {
    let mut work = 0;
    let listed = |piece: Size, work: &mut u64| Given::listed(piece, &job.wanted, cutting, work);
    let Some(sheet) = listed(job.sheet, &mut work) else { return Ok(Exact::NOTHING) };
    let mut offcuts = Vec::new();
    for (size, numbers) in alike(&job.offcuts) {
        let Some(given) = listed(size, &mut work) else { return Ok(Exact::NOTHING) };
        offcuts.push((given, numbers));
    }
    let Some(steps) = after_offcuts(job, &offcuts, &mut work) else { return Ok(Exact::NOTHING) };
    let Some(last) = steps.last() else { return Ok(Exact::NOTHING) };
    let columns: Vec<Vec<u32>> =
        sheet.whole().iter().map(|entry| wide(&entry.counts, job.wanted.len())).collect();
    let columns: Vec<&[u32]> = columns.iter().map(Vec::as_slice).collect();
    let mut best: (u32, Option<(usize, Vec<u32>)>) = (known, None);
    let (mut proved, mut entries) = (u32::MAX, ENTRIES);
    for (n, state) in last.iter().enumerate() {
        if best.0 <= least {
            break;
        }
        if entries == 0 {
            proved = 0;
            break;
        }
        let left = wide(&state.left, job.wanted.len());
        let counted = fewest(&columns, &left, (entries, best.0 - 1));
        entries = entries.saturating_sub(counted.steps);
        proved = proved.min(counted.bound);
        if let Some((times, total)) = counted.found {
            best = (total, Some((n, times)));
        }
    }
    let least = if best.0 <= least { least } else { proved.min(best.0) };
    let found = best.1.map(|(n, times)| {
        let chosen = chosen(&steps, n);
        patterns(job, (&offcuts, &chosen), (&sheet, &times))
    });
    Ok(Exact { found, least })
}

/// What is still wanted after an offcut, and how that came about.
struct State {
    left: Counts,
    /// The number of the state before.
    before: usize,
    /// Which of the offcut's ways was taken.
    way: usize,
}

/// What may be left after each offcut; nothing where that is too much.
fn after_offcuts(
    job: &Job,
    offcuts: &[(Given, Vec<usize>)],
    work: &mut u64,
) -> Option<Vec<Vec<State>>> {
    let mut steps = vec![vec![State { left: demand(&job.wanted), before: 0, way: 0 }]];
    for given in offcuts.iter().flat_map(|(given, numbers)| numbers.iter().map(move |_| given)) {
        let mut next: Vec<State> = Vec::new();
        for (before, state) in steps.last()?.iter().enumerate() {
            for (way, entry) in given.whole().iter().enumerate() {
                let mut left = state.left;
                left.iter_mut().zip(&entry.counts).for_each(|(n, by)| *n = n.saturating_sub(*by));
                *work += u64::try_from(next.len()).unwrap_or(u64::MAX) + 1;
                if next.iter().any(|known| is_within(&known.left, &left)) {
                    continue;
                }
                next.retain(|known| !is_within(&left, &known.left));
                next.push(State { left, before, way });
            }
        }
        if next.len() > WORK.1 || *work > WORK.0 {
            return None;
        }
        steps.push(next);
    }
    Some(steps)
}

/// Which way each offcut is cut, from the last state back.
fn chosen(steps: &[Vec<State>], last: usize) -> Vec<usize> {
    let mut ways = Vec::new();
    let mut at = last;
    for states in steps.iter().skip(1).rev() {
        ways.push(states[at].way);
        at = states[at].before;
    }
    ways.reverse();
    ways
}

/// The chosen ways as patterns; what is given too often becomes an offcut.
fn patterns(
    job: &Job,
    (offcuts, ways): (&[(Given, Vec<usize>)], &[usize]),
    (sheet, times): (&Given, &[u32]),
) -> Chosen {
    let mut left: Vec<u32> = job.wanted.iter().map(|one| one.count).collect();
    let mut used = Vec::new();
    let pieces =
        offcuts.iter().flat_map(|(given, numbers)| numbers.iter().map(move |n| (given, n)));
    for ((given, &n), &way) in pieces.zip(ways) {
        let pattern = limited(given.pattern(way), &left);
        if take(&pattern, &mut left) {
            used.push((n, pattern));
        }
    }
    let mut sheets: Vec<(Pattern, u32)> = Vec::new();
    for (way, &n) in times.iter().enumerate() {
        for _ in 0..n {
            let pattern = limited(sheet.pattern(way), &left);
            take(&pattern, &mut left);
            match sheets.iter_mut().find(|(known, _)| *known == pattern) {
                Some((_, n)) => *n += 1,
                None => sheets.push((pattern, 1)),
            }
        }
    }
    (used, sheets)
}

/// One way to cut a rectangle.
#[derive(Clone, Copy, Debug)]
struct Entry {
    counts: Counts,
    how: How,
}

/// All that a piece can give.
struct Given {
    widths: Along,
    depths: Along,
    /// For each rectangle that can come about.
    cells: Vec<Vec<Entry>>,
    piece: Size,
    whole: (i64, i64),
    kerf: i64,
}

impl Given {
    /// The lists of a piece and of all rectangles that it can be cut into; nothing where that is too much.
    fn listed(piece: Size, wanted: &[Wanted], cutting: &Cutting, work: &mut u64) -> Option<Self> {
        let kerf = micrometres(cutting.kerf);
        let whole = (micrometres(piece.width), micrometres(piece.depth));
        let grown = (whole.0 + kerf, whole.1 + kerf);
        let worth: Vec<i64> = wanted.iter().map(|one| i64::from(one.count > 0)).collect();
        let ways = lying(wanted, &worth, kerf + micrometres(cutting.wander));
        let fits = |width: i64, depth: i64| width <= grown.0 && depth <= grown.1;
        let ways: Vec<_> =
            ways.into_iter().filter(|way| way.worth > 0 && fits(way.width, way.depth)).collect();
        let sides = (
            ways.iter().map(|way| way.width).collect(),
            ways.iter().map(|way| way.depth).collect(),
        );
        let least = least_grown(cutting);
        let (widths, depths) = all_measures(grown, &sides, (least, true), LISTED.0)?;
        let mut blanks: BTreeMap<(i64, i64), Vec<Entry>> = BTreeMap::new();
        for way in ways {
            let mut counts = [0; MOST_SIZES];
            counts[way.index] = 1;
            let entry = Entry { counts, how: How::Blank(way.index, way.is_turned) };
            blanks.entry((way.width, way.depth)).or_default().push(entry);
        }
        let mut given = Self { widths, depths, cells: Vec::new(), piece, whole, kerf };
        let most = demand(wanted);
        for w in 0..given.widths.values.len() {
            for d in 0..given.depths.values.len() {
                let measures = (given.widths.values[w], given.depths.values[d]);
                let mut list = List { entries: Vec::new(), most, work };
                list.add([0; MOST_SIZES], How::Waste);
                for entry in blanks.get(&measures).into_iter().flatten() {
                    list.add(entry.counts, entry.how);
                }
                given.list((w, d), &mut list)?;
                given.cells.push(list.entries);
            }
        }
        Some(given)
    }

    const fn at(&self, (w, d): (usize, usize)) -> usize {
        w * self.depths.values.len() + d
    }

    /// All ways to part one rectangle, when those of all smaller ones are known.
    fn list(&self, cell: (usize, usize), list: &mut List<'_>) -> Option<()> {
        let across =
            self.widths.splits[cell.0].iter().enumerate().map(|(k, &(first, second, _))| {
                let second = second.map(|second| (second, cell.1));
                (Axis::FrontToBack, k, (first, cell.1), second)
            });
        let along =
            self.depths.splits[cell.1].iter().enumerate().map(|(k, &(first, second, _))| {
                let second = second.map(|second| (cell.0, second));
                (Axis::LeftToRight, k, (cell.0, first), second)
            });
        let nothing = [Entry { counts: [0; MOST_SIZES], how: How::Waste }];
        for (axis, k, first, second) in across.chain(along) {
            let seconds = second.map_or(&nothing[..], |second| &self.cells[self.at(second)]);
            for (a, one) in self.cells[self.at(first)].iter().enumerate() {
                for (b, other) in seconds.iter().enumerate() {
                    let mut counts = one.counts;
                    counts.iter_mut().zip(&other.counts).for_each(|(n, by)| *n += by);
                    list.add(counts, How::Cut(axis, k, (a, b)));
                }
            }
            if *list.work > WORK.0 || list.entries.len() > LISTED.1 {
                return None;
            }
        }
        Some(())
    }

    /// The ways to cut the whole piece.
    fn whole(&self) -> &[Entry] {
        self.cells.last().map_or(&[], Vec::as_slice)
    }

    fn pattern(&self, way: usize) -> Pattern {
        let how = |cell, way: usize| self.cells[self.at(cell)][way].how;
        let (widths, depths, kerf) = (&self.widths, &self.depths, self.kerf);
        let grow = Grow { widths, depths, kerf, how: &how };
        let last = (widths.values.len() - 1, depths.values.len() - 1);
        let root = grow.part(last, way, (self.whole.0 + kerf, self.whole.1 + kerf));
        Pattern { sheet: self.piece, root, kerf, whole: self.whole }
    }
}

/// A list that keeps only what no other covers, none more often than it is wanted.
struct List<'w> {
    entries: Vec<Entry>,
    most: Counts,
    work: &'w mut u64,
}

impl List<'_> {
    fn add(&mut self, mut counts: Counts, how: How) {
        counts.iter_mut().zip(&self.most).for_each(|(n, most)| *n = (*n).min(*most));
        *self.work += u64::try_from(self.entries.len()).unwrap_or(u64::MAX) + 1;
        if self.entries.iter().any(|known| is_within(&counts, &known.counts)) {
            return;
        }
        self.entries.retain(|known| !is_within(&known.counts, &counts));
        self.entries.push(Entry { counts, how });
    }
}

/// Whether no count is larger than the other's.
fn is_within(counts: &Counts, other: &Counts) -> bool {
    counts.iter().zip(other).all(|(a, b)| a <= b)
}

fn demand(wanted: &[Wanted]) -> Counts {
    let mut counts = [0; MOST_SIZES];
    let all = counts.iter_mut().zip(wanted);
    all.for_each(|(n, one)| *n = u16::try_from(one.count).unwrap_or(u16::MAX));
    counts
}

fn wide(counts: &Counts, n: usize) -> Vec<u32> {
    counts.iter().take(n).map(|&n| u32::from(n)).collect()
}
