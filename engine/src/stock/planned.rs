//! A plan's own sheet, cut into blanks of its machine the way its maker cuts.

use super::pattern::best_bounded;
use super::several::COMPARED;
use super::{Cutting, Job, Pattern, Sheets, StockError, Wanted, cut_job, least_strip};
use crate::plan::{CutBy, CuttingHabits, Plan, Size};
use crate::units::{Length, Price};

/// A plan's blanks cut out of sheets.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedCut {
    /// How sheets are cut.
    pub cutting: Cutting,
    /// The blank, and how many.
    pub wanted: Wanted,
    /// Further sizes, numbered on from the blank.
    pub further: Vec<Wanted>,
    /// How many come out of one whole sheet.
    pub per_sheet: u32,
    /// Whether no more than that can come out of one.
    pub is_most: bool,
    /// The offcuts there are, in the order of the plan; those that are used are named by their number.
    pub offcuts: Vec<Size>,
    /// The sheets, cut up.
    pub sheets: Sheets,
}

/// How a plan's maker cuts.
#[must_use]
pub fn plan_cutting(plan: &Plan) -> Cutting {
    habitual(&plan.cutting, plan.stock.gauge)
}

/// How sheet of a gauge is cut by somebody of these habits.
pub(crate) fn habitual(habits: &CuttingHabits, gauge: Length) -> Cutting {
    let cutting = match habits.by {
        CutBy::Saw => Cutting::sawn(habits.kerf),
        CutBy::Snap => Cutting {
            least_strip: habits.least_strip.unwrap_or_else(|| least_strip(gauge)),
            ..Cutting::snapped(gauge)
        },
    };
    Cutting { wander: habits.wander, ..cutting }
}

/// Cuts the blanks that a plan wants: as many as one sheet gives when it names no number, else offcuts first.
///
/// `further` are sizes with their counts that come out of the same sheets; with them offcuts go first in any case.
///
/// # Errors
/// Says which length is none that a sheet, blank or cut has, and when no blank comes out of a sheet.
pub fn cut_plan(plan: &Plan, further: &[(Size, u32)]) -> Result<PlannedCut, StockError> {
    let (habits, sheet) = (&plan.cutting, plan.stock.sheet);
    let cutting = plan_cutting(plan);
    let one = Wanted { size: plan.machine.blank, may_turn: habits.may_turn, count: 1 };
    let best = best_bounded(sheet, &[one], &[1], &cutting, COMPARED.1)?;
    let (is_proved, pattern) = (best.is_proved(), best.pattern);
    let per_sheet = pattern.count(0);
    if per_sheet == 0 {
        let Size { width, depth } = one.size;
        return Err(StockError::TooLarge { width, depth });
    }
    if habits.blanks_wanted.is_none() && further.is_empty() {
        let sheets =
            Sheets { offcuts: Vec::new(), patterns: vec![(pattern, 1)], n_sheets: 1, least: 1 };
        let wanted = Wanted { count: per_sheet, ..one };
        let offcuts = Vec::new();
        let further = Vec::new();
        let is_most = is_proved;
        return Ok(PlannedCut { cutting, wanted, further, per_sheet, is_most, offcuts, sheets });
    }
    let own = habits.offcuts.iter().filter(|offcut| offcut.stock.is_none());
    let offcuts: Vec<Size> =
        own.flat_map(|offcut| (0..offcut.count).map(|_| offcut.size)).collect();
    let wanted = Wanted { count: habits.blanks_wanted.unwrap_or(per_sheet), ..one };
    let further: Vec<Wanted> =
        further.iter().map(|&(size, count)| Wanted { size, count, ..one }).collect();
    let all = std::iter::once(wanted).chain(further.iter().copied()).collect();
    let job = Job { sheet, offcuts, wanted: all };
    let sheets = cut_job(&job, &cutting)?;
    let (offcuts, is_most) = (job.offcuts, is_proved);
    Ok(PlannedCut { cutting, wanted, further, per_sheet, is_most, offcuts, sheets })
}

impl PlannedCut {
    /// All sizes that are wanted, the plan's own blank first.
    pub fn sizes(&self) -> impl Iterator<Item = &Wanted> {
        std::iter::once(&self.wanted).chain(&self.further)
    }

    /// All patterns with how often each is cut: offcuts first, then whole sheets.
    pub fn patterns(&self) -> impl Iterator<Item = (&Pattern, u32)> {
        let offcuts = self.sheets.offcuts.iter().map(|(_, pattern)| (pattern, 1));
        offcuts.chain(self.sheets.patterns.iter().map(|(pattern, times)| (pattern, *times)))
    }

    /// The share of what is cut up that becomes blanks.
    #[must_use]
    pub fn share(&self) -> f64 {
        let (mut used, mut whole) = (0.0, 0.0);
        for (pattern, times) in self.patterns() {
            used += pattern.used().to_mm2() * f64::from(times);
            whole += pattern.sheet.rect().area().to_mm2() * f64::from(times);
        }
        if whole > 0.0 { used / whole } else { 0.0 }
    }

    /// What the whole sheets cost at a price a sheet; `None` when that is more than can be counted.
    #[must_use]
    pub fn cost(&self, sheet: Price) -> Option<Price> {
        let hundredths = sheet.to_hundredths().checked_mul(self.sheets.n_sheets)?;
        Some(Price::hundredths(hundredths))
    }

    /// What is left over and worth keeping, the largest first: at least half as wide as the smallest blank is.
    #[must_use]
    pub fn left_over(&self) -> Vec<(Size, u32)> {
        let narrowest = self.sizes().map(|one| one.size.width.min(one.size.depth));
        let least = narrowest.fold(self.wanted.size.width, Length::min) * 0.5;
        let mut left: Vec<(Size, u32)> = Vec::new();
        for (pattern, times) in self.patterns() {
            for part in pattern.parts().iter().filter(|part| part.blank.is_none()) {
                let size = Size::new(part.rect.width(), part.rect.depth());
                if size.width.min(size.depth) < least {
                    continue;
                }
                let is_same = |known: &Size| {
                    let off =
                        (known.width - size.width).abs().max((known.depth - size.depth).abs());
                    off < Length::mm(1e-3)
                };
                match left.iter_mut().find(|(known, _)| is_same(known)) {
                    Some((_, n)) => *n += times,
                    None => left.push((size, times)),
                }
            }
        }
        let area = |size: &Size| size.rect().area().to_mm2();
        left.sort_by(|(a, _), (b, _)| {
            area(b).total_cmp(&area(a)).then(a.width.to_mm().total_cmp(&b.width.to_mm()))
        });
        left
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::plan::{CuttingHabits, Offcut, sample};

    fn plan(habits: CuttingHabits) -> Plan {
        let mut plan = sample();
        plan.machine.blank = Size::new(Length::inches(12.0), Length::inches(16.0));
        plan.stock.sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        plan.cutting = Arc::new(habits);
        plan
    }

    // 24 blanks of 12 x 16 in are a sheet (common practice).
    #[test]
    fn a_plan_without_a_count_fills_a_sheet_and_one_with_it_buys_what_it_takes() {
        let cut = cut_plan(&plan(CuttingHabits::default()), &[]).expect("cuts");
        assert_eq!((cut.per_sheet, cut.wanted.count, cut.sheets.n_sheets), (24, 24, 1));
        assert!(cut.is_most && cut.left_over().is_empty());
        assert!((cut.share() - 1.0).abs() < 1e-9);
        let many = CuttingHabits { blanks_wanted: Some(50), ..CuttingHabits::default() };
        let cut = cut_plan(&plan(many), &[]).expect("cuts");
        assert_eq!((cut.sheets.n_sheets, cut.sheets.least), (3, 3));
        assert_eq!(cut.cost(Price::hundredths(2050)), Some(Price::hundredths(6150)));
        // Two of the third sheet's 24 are wanted; what is left of it is large.
        assert!(!cut.left_over().is_empty());
    }

    // 12 of 12 x 16 in are half a sheet of 48 x 96 in, and 6 of 16 x 24 in the other half.
    #[test]
    fn further_sizes_share_the_sheets_of_a_plan() {
        let habits = CuttingHabits { blanks_wanted: Some(12), ..CuttingHabits::default() };
        let further = [(Size::new(Length::inches(16.0), Length::inches(24.0)), 6)];
        let cut = cut_plan(&plan(habits), &further).expect("cuts");
        assert_eq!((cut.sheets.n_sheets, cut.sheets.least, cut.sizes().count()), (1, 1, 2));
        let given = |size: usize| -> u32 { cut.patterns().map(|(p, n)| p.count(size) * n).sum() };
        assert_eq!((given(0), given(1)), (12, 6));
        assert!((cut.share() - 1.0).abs() < 1e-9, "{}", cut.share());
        // Without a count the plan's own blank fills a sheet all the same.
        let cut = cut_plan(&plan(CuttingHabits::default()), &further).expect("cuts");
        assert_eq!((cut.wanted.count, cut.sheets.n_sheets), (24, 2));
    }

    #[test]
    fn offcuts_are_used_first_and_a_saw_takes_its_kerf() {
        let size = Size::new(Length::inches(24.5), Length::inches(33.0));
        let offcuts = vec![Offcut { size, count: 2, stock: None }];
        let habits = CuttingHabits { blanks_wanted: Some(8), offcuts, ..CuttingHabits::default() };
        let cut = cut_plan(&plan(habits.clone()), &[]).expect("cuts");
        // Half an inch is a strip that no hand snaps off.
        assert_eq!((cut.sheets.n_sheets, cut.sheets.offcuts.len()), (1, 2));
        let sawn = CuttingHabits { by: CutBy::Saw, ..habits };
        let cut = cut_plan(&plan(sawn), &[]).expect("cuts");
        assert_eq!((cut.sheets.n_sheets, cut.sheets.offcuts.len()), (0, 2));
        let mut large = plan(CuttingHabits::default());
        large.machine.blank = Size::new(Length::inches(60.0), Length::inches(60.0));
        assert!(matches!(cut_plan(&large, &[]), Err(StockError::TooLarge { .. })));
    }
}
