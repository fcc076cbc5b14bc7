//! The best way to cut up one sheet, proved: every sequence of edge-to-edge cuts is looked at, by dynamic programming.
//!
//! A cut somewhere can be moved to where blanks side by side end, without losing any (normal patterns: J. C. Herz, IBM J. Res.
//! Dev. 16, 1972; N. Christofides, C. Whitlock, Oper. Res. 25, 1977). So only such places are tried, from the sheet and
//! from every rectangle that they leave, the smallest first. With a kerf, blanks and sheet grow by one kerf and
//! cuts take nothing.

use std::collections::{BTreeMap, BTreeSet};

use super::cutting::{check_size, micrometres};
use super::tree::{Axis, Part, Parting, Pattern};
use super::{Cutting, StockError, Wanted};
use crate::plan::Size;

/// Ways to part a rectangle that are compared for one sheet at most, about a tenth of a second; beyond it fewer places
/// for cuts are tried and the best is no longer proved.
const MOST_COMPARED: u64 = 60_000_000;

/// Measures along one edge at most while all are tried, and when fewer are.
const MEASURES: (usize, usize) = (900, 140);

/// The most blanks of one size that fit, whichever way each lies if it may turn, and the pattern; exact.
///
/// # Errors
/// Says which length is none that a sheet, blank or cut has.
pub fn most_of_one(sheet: Size, wanted: Wanted, cutting: &Cutting) -> Result<Pattern, StockError> {
    best_pattern(sheet, &[wanted], &[1], cutting).map(|(pattern, _)| pattern)
}

/// The pattern worth the most, each blank of a size counting its `worth` as often as it is cut, and whether that is proved.
///
/// `worth` goes by the number of the size. How many are wanted is not looked at.
/// Cost: the product of the widths and depths that can come about, times how many ways each can be parted.
///
/// # Errors
/// Says which length is none that a sheet, blank or cut has, or that nothing is wanted.
pub fn best_pattern(
    sheet: Size,
    wanted: &[Wanted],
    worth: &[i64],
    cutting: &Cutting,
) -> Result<(Pattern, bool), StockError> {
    best_within(sheet, wanted, worth, cutting, MOST_COMPARED)
        .map(|Best { pattern, is_proved, .. }| (pattern, is_proved))
}

/// A pattern, whether none is better, and how much was compared to find it.
pub(super) struct Best {
    pub(super) pattern: Pattern,
    pub(super) is_proved: bool,
    pub(super) compared: u64,
}

/// As [`best_pattern`], all places for cuts being tried only if that compares no more than `most`.
pub(super) fn best_within(
    sheet: Size,
    wanted: &[Wanted],
    worth: &[i64],
    cutting: &Cutting,
    most: u64,
) -> Result<Best, StockError> {
    cutting.check()?;
    check_size("the sheet", sheet)?;
    for one in wanted {
        check_size("a blank", one.size)?;
    }
    if wanted.is_empty() {
        return Err(StockError::Nothing);
    }
    let kerf = micrometres(cutting.kerf);
    let grown = kerf + micrometres(cutting.wander);
    let whole = (micrometres(sheet.width), micrometres(sheet.depth));
    let sizes: Vec<Lying> = lying(wanted, worth, grown);
    let least = least_grown(cutting);
    let table = Table::filled((whole.0 + kerf, whole.1 + kerf), &sizes, least, most);
    let last = (table.widths.values.len() - 1, table.depths.values.len() - 1);
    let root = table.part(last, (whole.0 + kerf, whole.1 + kerf), kerf);
    let pattern = Pattern { sheet, root, kerf, whole };
    let compared = compared(&table.widths, &table.depths);
    Ok(Best { pattern, is_proved: table.is_complete, compared })
}

/// The narrowest strip, grown by the kerf as blanks and sheet are.
fn least_grown(cutting: &Cutting) -> i64 {
    match micrometres(cutting.least_strip) {
        0 => 0,
        strip => strip + micrometres(cutting.kerf),
    }
}

/// Whether one blank comes out of a sheet at all: what is over on either side is nothing or a strip that comes off.
pub(super) fn comes_out(sheet: Size, one: &Wanted, cutting: &Cutting) -> bool {
    let least = least_grown(cutting);
    let rest = |whole, side| micrometres(whole) - micrometres(side) - micrometres(cutting.wander);
    let fits = |width, depth| {
        let rests = [rest(sheet.width, width), rest(sheet.depth, depth)];
        rests.into_iter().all(|rest| rest == 0 || (rest > 0 && rest >= least))
    };
    let Size { width, depth } = one.size;
    fits(width, depth) || (one.may_turn && fits(depth, width))
}

/// One way in which a size may lie.
#[derive(Clone, Copy, Debug)]
struct Lying {
    width: i64,
    depth: i64,
    index: usize,
    is_turned: bool,
    worth: i64,
}

fn lying(wanted: &[Wanted], worth: &[i64], grown: i64) -> Vec<Lying> {
    let mut ways = Vec::new();
    for (index, one) in wanted.iter().enumerate() {
        let worth = worth.get(index).copied().unwrap_or(0).max(0);
        let [width, depth] = [one.size.width, one.size.depth].map(|side| micrometres(side) + grown);
        ways.push(Lying { width, depth, index, is_turned: false, worth });
        if one.may_turn && width != depth {
            ways.push(Lying { width: depth, depth: width, index, is_turned: true, worth });
        }
    }
    ways
}

/// The measures that can come about along one edge, in order, and how each can be parted.
struct Along {
    values: Vec<i64>,
    /// For each the numbers of the two parts, `None` where a part holds no blank, and where the cut runs.
    splits: Vec<Vec<(usize, Option<usize>, i64)>>,
    is_complete: bool,
}

impl Along {
    /// All measures, if they are no more than `most`.
    fn all(whole: i64, sides: &BTreeSet<i64>, least: i64, most: usize) -> Option<Self> {
        let ends = ends(whole, sides, most)?;
        let shortest = sides.first().copied().unwrap_or(i64::MAX);
        let mut values: BTreeSet<i64> = BTreeSet::from([whole]);
        let mut open: Vec<i64> = vec![whole];
        while let Some(value) = open.pop() {
            for &end in ends.range(..value) {
                let rest = value - end;
                if end < least || rest < least {
                    continue;
                }
                for part in [end, if least == 0 { reduced(rest, &ends) } else { rest }] {
                    if part >= shortest && values.insert(part) {
                        open.push(part);
                    }
                }
            }
            if values.len() > most {
                return None;
            }
        }
        let rest = |rest: i64| if least == 0 { reduced(rest, &ends) } else { rest };
        Some(Self::split(values, &ends, (least, shortest), &rest, true))
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

    fn n_splits(&self) -> u64 {
        let count: usize = self.splits.iter().map(Vec::len).sum();
        u64::try_from(count).unwrap_or(u64::MAX)
    }
}

/// Ways to part all rectangles of these measures.
fn compared(widths: &Along, depths: &Along) -> u64 {
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

/// What is best done with a rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Choice {
    Waste,
    Blank(usize, bool),
    /// At the split of this number.
    Cut(Axis, usize),
}

/// The best of every rectangle that can come about.
struct Table {
    widths: Along,
    depths: Along,
    worth: Vec<i64>,
    choice: Vec<Choice>,
    is_complete: bool,
}

impl Table {
    /// All measures, or only rows of blanks where all would compare more than `most`.
    fn filled(whole: (i64, i64), sizes: &[Lying], least: i64, most: u64) -> Self {
        let fitting = sizes.iter().filter(|size| size.width <= whole.0 && size.depth <= whole.1);
        let fitting: Vec<Lying> = fitting.copied().collect();
        let sides = |side: &dyn Fn(&Lying) -> i64| -> BTreeSet<i64> {
            fitting.iter().filter(|size| size.worth > 0).map(side).collect()
        };
        let sides = (sides(&|size| size.width), sides(&|size| size.depth));
        let all = Along::all(whole.0, &sides.0, least, MEASURES.0)
            .zip(Along::all(whole.1, &sides.1, least, MEASURES.0))
            .filter(|(widths, depths)| compared(widths, depths) <= most);
        let rows = |whole, sides| Along::rows(whole, sides, least, MEASURES.1);
        let (widths, depths) =
            all.unwrap_or_else(|| (rows(whole.0, &sides.0), rows(whole.1, &sides.1)));
        let is_complete = widths.is_complete && depths.is_complete;
        let n = widths.values.len() * depths.values.len();
        let (worth, choice) = (vec![0; n], vec![Choice::Waste; n]);
        let mut table = Self { widths, depths, worth, choice, is_complete };
        let mut exact: BTreeMap<(i64, i64), Lying> = BTreeMap::new();
        for size in fitting {
            let known = exact.entry((size.width, size.depth)).or_insert(size);
            if size.worth > known.worth {
                *known = size;
            }
        }
        for w in 0..table.widths.values.len() {
            for d in 0..table.depths.values.len() {
                table.fill((w, d), &exact);
            }
        }
        table
    }

    const fn at(&self, (w, d): (usize, usize)) -> usize {
        w * self.depths.values.len() + d
    }

    /// The best of one rectangle, when all smaller ones are known.
    fn fill(&mut self, cell: (usize, usize), exact: &BTreeMap<(i64, i64), Lying>) {
        let mut best = (0, Choice::Waste);
        let measures = (self.widths.values[cell.0], self.depths.values[cell.1]);
        if let Some(size) = exact.get(&measures) {
            best = (size.worth, Choice::Blank(size.index, size.is_turned));
        }
        let of = |known: Option<usize>| known.map_or(0, |at| self.worth[at]);
        for (k, &(first, second, _)) in self.widths.splits[cell.0].iter().enumerate() {
            let worth = self.worth[self.at((first, cell.1))]
                + of(second.map(|second| self.at((second, cell.1))));
            if worth > best.0 {
                best = (worth, Choice::Cut(Axis::FrontToBack, k));
            }
        }
        for (k, &(first, second, _)) in self.depths.splits[cell.1].iter().enumerate() {
            let worth = self.worth[self.at((cell.0, first))]
                + of(second.map(|second| self.at((cell.0, second))));
            if worth > best.0 {
                best = (worth, Choice::Cut(Axis::LeftToRight, k));
            }
        }
        let at = self.at(cell);
        (self.worth[at], self.choice[at]) = best;
    }

    /// The tree of a rectangle that is at least as large as the one looked at; what is over is cut off first.
    fn part(&self, cell: (usize, usize), (width, depth): (i64, i64), kerf: i64) -> Part {
        let (w, d) = (self.widths.values[cell.0], self.depths.values[cell.1]);
        let choice = self.choice[self.at(cell)];
        if choice == Choice::Waste {
            return Part::Offcut;
        }
        let parted = |axis: Axis, at: i64, first: Part, second: Part| {
            Part::Cut(Box::new(Parting { axis, at: at - kerf, first, second }))
        };
        if width > w {
            let kept = self.part(cell, (w, depth), kerf);
            return parted(Axis::FrontToBack, w, kept, Part::Offcut);
        }
        if depth > d {
            return parted(Axis::LeftToRight, d, self.part(cell, (w, d), kerf), Part::Offcut);
        }
        let next = |cell: Option<(usize, usize)>, measures: (i64, i64)| {
            cell.map_or(Part::Offcut, |cell| self.part(cell, measures, kerf))
        };
        match choice {
            Choice::Waste => Part::Offcut,
            Choice::Blank(index, is_turned) => Part::Blank(index, is_turned),
            Choice::Cut(Axis::FrontToBack, k) => {
                let (first, second, at) = self.widths.splits[cell.0][k];
                let first = self.part((first, cell.1), (at, d), kerf);
                let second = next(second.map(|second| (second, cell.1)), (w - at, d));
                parted(Axis::FrontToBack, at, first, second)
            }
            Choice::Cut(Axis::LeftToRight, k) => {
                let (first, second, at) = self.depths.splits[cell.1][k];
                let first = self.part((cell.0, first), (w, at), kerf);
                let second = next(second.map(|second| (cell.0, second)), (w, d - at));
                parted(Axis::LeftToRight, at, first, second)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    const fn inches(width: f64, depth: f64) -> Size {
        Size::new(Length::inches(width), Length::inches(depth))
    }

    fn wanted(size: Size, may_turn: bool) -> Wanted {
        Wanted { size, may_turn, count: 1 }
    }

    /// Blanks lie inside, do not overlap and have the size that was asked for.
    fn is_sound(pattern: &Pattern, wanted: &[Wanted]) {
        let parts = pattern.parts();
        let sheet = pattern.sheet.rect().grown(Length::mm(1e-6));
        for (n, part) in parts.iter().enumerate() {
            assert!(sheet.contains(part.rect.min) && sheet.contains(part.rect.max), "{part:?}");
            for other in &parts[n + 1..] {
                let common = part.rect.intersection(other.rect);
                assert!(
                    common.is_none_or(|common| common.area().to_mm2() < 1e-6),
                    "{part:?} {other:?}"
                );
            }
            let Some(index) = part.blank else { continue };
            let Size { width, depth } = wanted[index].size;
            let (width, depth) = if part.is_turned { (depth, width) } else { (width, depth) };
            let spare = (part.rect.width() - width).max(part.rect.depth() - depth);
            assert!(spare.abs() < Length::mm(1e-6), "{part:?}");
        }
    }

    // A 4 x 8 ft sheet gives 24 blanks of 12 x 16 in and nothing is left (common practice).
    #[test]
    fn a_whole_sheet_divides_without_a_rest() {
        let blank = wanted(inches(12.0, 16.0), true);
        let cutting = Cutting::snapped(Length::inches(0.060));
        let pattern = most_of_one(inches(48.0, 96.0), blank, &cutting).expect("cuts");
        is_sound(&pattern, &[blank]);
        assert_eq!(pattern.count(0), 24);
        assert!((pattern.used() / inches(48.0, 96.0).rect().area() - 1.0).abs() < 1e-9);
        // A saw takes its kerf out of the sheet: 3 x 5 of them side by side, and more cannot be.
        let sawn =
            most_of_one(inches(48.0, 96.0), blank, &Cutting::sawn(Length::mm(3.2))).expect("cuts");
        is_sound(&sawn, &[blank]);
        assert!(sawn.count(0) < 24, "{}", sawn.count(0));
    }

    #[test]
    fn a_strip_too_narrow_to_snap_is_not_cut_off() {
        // 10 mm are left beside a blank: a hand cannot snap them off, a saw can.
        let sheet = Size::new(Length::mm(310.0), Length::mm(300.0));
        let blank = wanted(Size::new(Length::mm(300.0), Length::mm(300.0)), false);
        let snapped = most_of_one(sheet, blank, &Cutting::snapped(Length::mm(1.5))).expect("cuts");
        assert_eq!(snapped.count(0), 0);
        let sawn = most_of_one(sheet, blank, &Cutting::sawn(Length::ZERO)).expect("cuts");
        assert_eq!((sawn.count(0), sawn.parts().len()), (1, 2));
        is_sound(&sawn, &[blank]);
    }

    #[test]
    fn what_is_no_sheet_is_refused_and_what_is_too_large_is_waste() {
        let cutting = Cutting::sawn(Length::ZERO);
        let blank = wanted(inches(12.0, 16.0), true);
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
            let sheet = Size::new(Length::mm(bad), Length::mm(300.0));
            assert!(most_of_one(sheet, blank, &cutting).is_err(), "{bad}");
            assert!(most_of_one(inches(48.0, 96.0), wanted(sheet, true), &cutting).is_err());
        }
        assert_eq!(best_pattern(inches(48.0, 96.0), &[], &[], &cutting), Err(StockError::Nothing));
        let none = most_of_one(inches(10.0, 10.0), blank, &cutting).expect("cuts");
        assert_eq!((none.count(0), none.parts().len()), (0, 1));
    }
}
