//! The best way to cut up one sheet, proved: every sequence of edge-to-edge cuts is looked at, by dynamic programming.
//!
//! Only the places of `measures` are tried, from the smallest rectangle on. With a kerf, blanks and sheet grow by one kerf
//! and cuts take nothing.

use std::collections::{BTreeMap, BTreeSet};

use super::cutting::{check_size, micrometres};
use super::grow::{Grow, How};
use super::measures::{Along, compared, measures};
use super::tree::{Axis, Pattern};
use super::{Cutting, StockError, Wanted};
use crate::plan::Size;
use crate::units::Length;

/// Ways to part a rectangle that are compared for one sheet at most, about a tenth of a second; beyond it fewer places
/// for cuts are tried and the best is no longer proved.
const MOST_COMPARED: u64 = 60_000_000;

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
    let best = best_bounded(sheet, wanted, worth, cutting, MOST_COMPARED)?;
    let is_proved = best.is_proved();
    Ok((best.pattern, is_proved))
}

/// A pattern with what it is worth, and how much was compared to find it.
pub(super) struct Best {
    pub(super) pattern: Pattern,
    pub(super) worth: i64,
    /// No pattern is worth more than this, where that is known.
    pub(super) at_most: Option<i64>,
    pub(super) compared: u64,
}

impl Best {
    /// Whether none is better.
    pub(super) fn is_proved(&self) -> bool {
        self.at_most.is_some_and(|most| self.worth >= most)
    }
}

/// As [`best_within`]; where not all places are tried, what could be cut if no strip were too narrow is a bound all the same.
pub(super) fn best_bounded(
    sheet: Size,
    wanted: &[Wanted],
    worth: &[i64],
    cutting: &Cutting,
    most: u64,
) -> Result<Best, StockError> {
    let best = best_within(sheet, wanted, worth, cutting, most)?;
    if best.at_most.is_some() || cutting.least_strip <= Length::ZERO {
        return Ok(best);
    }
    let free = Cutting { least_strip: Length::ZERO, ..*cutting };
    let Best { at_most, compared, .. } = best_within(sheet, wanted, worth, &free, most)?;
    Ok(Best { at_most, compared: best.compared.saturating_add(compared), ..best })
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
    let how = |cell, _| table.how[table.at(cell)];
    let grow = Grow { widths: &table.widths, depths: &table.depths, kerf, how: &how };
    let root = grow.part(last, 0, (whole.0 + kerf, whole.1 + kerf));
    let pattern = Pattern { sheet, root, kerf, whole };
    let compared = compared(&table.widths, &table.depths);
    let worth = table.worth[table.at(last)];
    let at_most = table.is_complete.then_some(worth);
    Ok(Best { pattern, worth, at_most, compared })
}

/// The narrowest strip, grown by the kerf as blanks and sheet are.
pub(super) fn least_grown(cutting: &Cutting) -> i64 {
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
pub(super) struct Lying {
    pub(super) width: i64,
    pub(super) depth: i64,
    pub(super) index: usize,
    pub(super) is_turned: bool,
    pub(super) worth: i64,
}

pub(super) fn lying(wanted: &[Wanted], worth: &[i64], grown: i64) -> Vec<Lying> {
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

/// The best of every rectangle that can come about.
struct Table {
    widths: Along,
    depths: Along,
    worth: Vec<i64>,
    how: Vec<How>,
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
        let (widths, depths) = measures(whole, &sides, least, most);
        let is_complete = widths.is_complete && depths.is_complete;
        let n = widths.values.len() * depths.values.len();
        let (worth, how) = (vec![0; n], vec![How::Waste; n]);
        let mut table = Self { widths, depths, worth, how, is_complete };
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
        let mut best = (0, How::Waste);
        let measures = (self.widths.values[cell.0], self.depths.values[cell.1]);
        if let Some(size) = exact.get(&measures) {
            best = (size.worth, How::Blank(size.index, size.is_turned));
        }
        let of = |known: Option<usize>| known.map_or(0, |at| self.worth[at]);
        for (k, &(first, second, _)) in self.widths.splits[cell.0].iter().enumerate() {
            let worth = self.worth[self.at((first, cell.1))]
                + of(second.map(|second| self.at((second, cell.1))));
            if worth > best.0 {
                best = (worth, How::Cut(Axis::FrontToBack, k, (0, 0)));
            }
        }
        for (k, &(first, second, _)) in self.depths.splits[cell.1].iter().enumerate() {
            let worth = self.worth[self.at((cell.0, first))]
                + of(second.map(|second| self.at((cell.0, second))));
            if worth > best.0 {
                best = (worth, How::Cut(Axis::LeftToRight, k, (0, 0)));
            }
        }
        let at = self.at(cell);
        (self.worth[at], self.how[at]) = best;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
