//! Several sizes with their counts out of as few sheets as can be found, offcuts used first.

use super::bound::least;
use super::cutting::{check_size, micrometres};
use super::exact::exact;
use super::packing::{Rule, packed};
use super::pattern::{Best, best_within, comes_out};
use super::tree::{Part, Parting, Pattern};
use super::{Cutting, StockError, Wanted};
use crate::plan::Size;

/// Sizes in one job.
pub(super) const MOST_SIZES: usize = 12;
/// Blanks in one job.
const MOST_BLANKS: u64 = 5000;
/// Ways to part a rectangle that are compared for one pattern of a job, and for all of its patterns: a job is there within
/// a fifth of a second.
pub(super) const COMPARED: (u64, u64) = (3_000_000, 6_000_000);
/// Ways in which the sizes are weighed before the fewest sheets are taken as found.
const WEIGHINGS: u32 = 24;

/// What is to be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// The whole sheet as bought; as many as it takes.
    pub sheet: Size,
    /// Offcuts there are, each once; used first, the smallest first.
    pub offcuts: Vec<Size>,
    /// The blanks that are wanted.
    pub wanted: Vec<Wanted>,
}

/// Sheets cut up.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheets {
    /// The offcuts that are used, by their number, with their patterns.
    pub offcuts: Vec<(usize, Pattern)>,
    /// Patterns of whole sheets, and how many sheets are cut by each.
    pub patterns: Vec<(Pattern, u32)>,
    /// Whole sheets in all.
    pub n_sheets: u32,
    /// No way of cutting takes fewer whole sheets than this.
    pub least: u32,
}

impl Sheets {
    /// Whether fewer sheets are proved impossible.
    #[must_use]
    pub const fn is_proved(&self) -> bool {
        self.n_sheets <= self.least
    }
}

/// Cuts a job out of as few sheets as were found.
///
/// Sheet after sheet takes the pattern that covers the most of what is still wanted; after each, what is left is also set
/// out blank by blank, and the fewest sheets of all these ways are kept. That is done for several ways to weigh the sizes
/// against each other, until the bound is met: that of the surface of the densest pattern there is, and of each size alone.
/// Where it is not met and all that a sheet can give is soon listed, the fewest are found and proved from those lists.
///
/// # Errors
/// Says which length is none that a sheet, blank or cut has, what is too much, and which blank does not come out of any
/// sheet.
pub fn cut_job(job: &Job, cutting: &Cutting) -> Result<Sheets, StockError> {
    check(job, cutting)?;
    let mut left: Vec<u32> = job.wanted.iter().map(|one| one.count).collect();
    let mut spent = Spent(0);
    let mut least = least(job, cutting, &mut spent)?;
    let offcuts = use_offcuts(job, cutting, &mut left, &mut spent)?;
    let patterns = greedy((job, cutting), &left, (0..1, least), &mut spent)?;
    let mut best = (offcuts.clone(), patterns);
    if n_sheets(&best.1) > least {
        let all = exact(job, cutting, (n_sheets(&best.1), least))?;
        least = least.max(all.least);
        best = all.found.unwrap_or(best);
    }
    if n_sheets(&best.1) > least {
        let patterns = greedy((job, cutting), &left, (1..WEIGHINGS, least), &mut spent)?;
        if n_sheets(&patterns) < n_sheets(&best.1) {
            best = (offcuts, patterns);
        }
    }
    let (offcuts, patterns) = best;
    Ok(Sheets { offcuts, n_sheets: n_sheets(&patterns), patterns, least })
}

/// The fewest sheets that these ways of weighing the sizes come to.
fn greedy(
    (job, cutting): (&Job, &Cutting),
    left: &[u32],
    (weighings, least): (std::ops::Range<u32>, u32),
    spent: &mut Spent,
) -> Result<Vec<(Pattern, u32)>, StockError> {
    let mut best = set_out(job, cutting, left);
    for weighing in weighings {
        if best.as_ref().is_some_and(|best| n_sheets(best) <= least) || spent.is_all() {
            break;
        }
        let found = weighed((job, cutting), left, weighing, spent)?;
        if best.as_ref().is_none_or(|best| n_sheets(&found) < n_sheets(best)) {
            best = Some(found);
        }
    }
    Ok(best.unwrap_or_default())
}

/// What was compared for a job so far.
pub(super) struct Spent(u64);

impl Spent {
    pub(super) const fn is_all(&self) -> bool {
        self.0 > COMPARED.1
    }

    pub(super) const fn add(&mut self, compared: u64) {
        self.0 = self.0.saturating_add(compared);
    }
}

/// A surface in hundredths of a square millimetre, rounded down.
pub(super) fn surface(size: Size) -> i64 {
    (micrometres(size.width) / 100) * (micrometres(size.depth) / 100)
}

/// All that is left set out blank by blank, by the best of the rules; equal sheets are gathered.
fn set_out(job: &Job, cutting: &Cutting, left: &[u32]) -> Option<Vec<(Pattern, u32)>> {
    let ways =
        Rule::ALL.iter().filter_map(|&rule| packed(job.sheet, (&job.wanted, left), cutting, rule));
    let fewest = ways.min_by_key(Vec::len)?;
    let mut gathered: Vec<(Pattern, u32)> = Vec::new();
    for pattern in fewest {
        match gathered.iter_mut().find(|(known, _)| *known == pattern) {
            Some((_, n)) => *n += 1,
            None => gathered.push((pattern, 1)),
        }
    }
    Some(gathered)
}

fn n_sheets(patterns: &[(Pattern, u32)]) -> u32 {
    patterns.iter().map(|(_, n)| n).sum()
}

fn check(job: &Job, cutting: &Cutting) -> Result<(), StockError> {
    let count: u64 = job.wanted.iter().map(|one| u64::from(one.count)).sum();
    if job.wanted.is_empty() || count == 0 {
        return Err(StockError::Nothing);
    }
    if job.wanted.len() > MOST_SIZES {
        return Err(StockError::TooManySizes { count: job.wanted.len(), most: MOST_SIZES });
    }
    if count > MOST_BLANKS {
        return Err(StockError::TooMany { count, most: MOST_BLANKS });
    }
    for &offcut in &job.offcuts {
        check_size("an offcut", offcut)?;
    }
    check_size("the sheet", job.sheet)?;
    cutting.check()?;
    for one in job.wanted.iter().filter(|one| one.count > 0) {
        check_size("a blank", one.size)?;
        if !comes_out(job.sheet, one, cutting) {
            let Size { width, depth } = one.size;
            return Err(StockError::TooLarge { width, depth });
        }
    }
    Ok(())
}

/// What offcuts give, the smallest first.
fn use_offcuts(
    job: &Job,
    cutting: &Cutting,
    left: &mut [u32],
    spent: &mut Spent,
) -> Result<Vec<(usize, Pattern)>, StockError> {
    let area = |n: &usize| job.offcuts[*n].rect().area().to_mm2();
    let mut order: Vec<usize> = (0..job.offcuts.len()).collect();
    order.sort_by(|a, b| area(a).total_cmp(&area(b)).then(a.cmp(b)));
    let mut used = Vec::new();
    for n in order {
        let pattern = best_for((job, cutting), job.offcuts[n], left, 0, spent)?;
        if take(&pattern, left) {
            used.push((n, pattern));
        }
    }
    Ok(used)
}

/// Takes what a pattern gives off what is wanted; whether it gave anything.
pub(super) fn take(pattern: &Pattern, left: &mut [u32]) -> bool {
    let mut is_any = false;
    for (size, left) in left.iter_mut().enumerate() {
        let count = pattern.count(size).min(*left);
        is_any |= count > 0;
        *left -= count;
    }
    is_any
}

/// Whole sheets, sheet after sheet, with one way to weigh the sizes.
fn weighed(
    (job, cutting): (&Job, &Cutting),
    left: &[u32],
    weighing: u32,
    spent: &mut Spent,
) -> Result<Vec<(Pattern, u32)>, StockError> {
    let mut left = left.to_vec();
    let mut patterns: Vec<(Pattern, u32)> = Vec::new();
    let mut best: Option<Vec<(Pattern, u32)>> = None;
    while left.iter().any(|&n| n > 0) {
        let pattern = best_for((job, cutting), job.sheet, &left, weighing, spent)?;
        let mut times = 0;
        // The same pattern again for as long as all of it is wanted.
        loop {
            if !take(&pattern, &mut left) {
                break;
            }
            times += 1;
            let is_whole = (0..left.len()).all(|size| pattern.count(size) <= left[size]);
            if !is_whole {
                break;
            }
        }
        if times == 0 {
            break;
        }
        patterns.push((pattern, times));
        if let Some(rest) = set_out(job, cutting, &left) {
            let all: Vec<_> = patterns.iter().cloned().chain(rest).collect();
            if best.as_ref().is_none_or(|best| n_sheets(&all) < n_sheets(best)) {
                best = Some(all);
            }
        }
    }
    Ok(best.filter(|best| n_sheets(best) < n_sheets(&patterns)).unwrap_or(patterns))
}

/// The pattern that covers the most of what is wanted, none of it more often than it is wanted.
///
/// The best pattern without a limit is taken first; a size of which it gives too many is wanted less the next time, and
/// what is too much at last becomes an offcut.
fn best_for(
    (job, cutting): (&Job, &Cutting),
    sheet: Size,
    left: &[u32],
    weighing: u32,
    spent: &mut Spent,
) -> Result<Pattern, StockError> {
    const TRIES: u32 = 6;
    let mut worth: Vec<i64> =
        (0..left.len()).map(|size| value(job, left, size, weighing)).collect();
    let mut best: Option<(f64, Pattern)> = None;
    for _ in 0..TRIES {
        let Best { pattern, compared, .. } =
            best_within(sheet, &job.wanted, &worth, cutting, COMPARED.0)?;
        spent.add(compared);
        let too_many: Vec<usize> =
            (0..left.len()).filter(|&size| pattern.count(size) > left[size]).collect();
        let kept = limited(pattern, left);
        let used = kept.used().to_mm2();
        if best.as_ref().is_none_or(|(most, _)| used > *most) {
            best = Some((used, kept));
        }
        if too_many.is_empty() || spent.is_all() {
            break;
        }
        for size in too_many {
            worth[size] = worth[size] * 7 / 10;
        }
    }
    let nothing = || best_within(sheet, &job.wanted, &vec![0; left.len()], cutting, 0);
    best.map_or_else(|| nothing().map(|best| best.pattern), |(_, pattern)| Ok(pattern))
}

/// What a blank of a size counts: its surface, large ones and those wanted often by a little more in some weighings.
fn value(job: &Job, left: &[u32], size: usize, weighing: u32) -> i64 {
    if left[size] == 0 {
        return 0;
    }
    let area = surface(job.wanted[size].size);
    let count = i64::try_from(job.wanted.len()).unwrap_or(1);
    let number = i64::try_from(size).unwrap_or(0);
    // Weighing 0 is the surface alone; the others favour now one size, now another, by up to a quarter.
    let turn = (number + i64::from(weighing)).rem_euclid(count.max(1));
    let strength = i64::from(weighing) / count.max(1) + i64::from(weighing > 0);
    area + area * turn * strength.min(8) / (count * 32)
}

/// The pattern with no blank more often than it is wanted; the others become offcuts.
pub(super) fn limited(pattern: Pattern, left: &[u32]) -> Pattern {
    let mut left = left.to_vec();
    let root = limited_part(pattern.root, &mut left);
    Pattern { root, ..pattern }
}

fn limited_part(part: Part, left: &mut [u32]) -> Part {
    match part {
        Part::Blank(size, is_turned) if left[size] > 0 => {
            left[size] -= 1;
            Part::Blank(size, is_turned)
        }
        Part::Blank(..) | Part::Offcut => Part::Offcut,
        Part::Cut(parting) => {
            let Parting { axis, at, first, second } = *parting;
            let (first, second) = (limited_part(first, left), limited_part(second, left));
            // A cut between two offcuts need not be made.
            if first == Part::Offcut && second == Part::Offcut {
                return Part::Offcut;
            }
            Part::Cut(Box::new(Parting { axis, at, first, second }))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn inches(width: f64, depth: f64, count: u32) -> Wanted {
        let size = Size::new(Length::inches(width), Length::inches(depth));
        Wanted { size, may_turn: true, count }
    }

    fn job(wanted: Vec<Wanted>, offcuts: Vec<Size>) -> Job {
        let sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        Job { sheet, offcuts, wanted }
    }

    fn given(sheets: &Sheets, size: usize) -> u32 {
        let whole = sheets.patterns.iter().map(|(pattern, n)| pattern.count(size) * n);
        let offcuts = sheets.offcuts.iter().map(|(_, pattern)| pattern.count(size));
        whole.chain(offcuts).sum()
    }

    // 24 blanks of 12 x 16 in are a sheet (common practice), so 100 of them are 5 sheets and no fewer.
    #[test]
    fn many_blanks_of_one_size_take_the_sheets_that_they_must() {
        let cutting = Cutting::snapped(Length::inches(0.060));
        let sheets = cut_job(&job(vec![inches(12.0, 16.0, 100)], vec![]), &cutting).expect("cuts");
        assert_eq!((sheets.n_sheets, sheets.least, given(&sheets, 0)), (5, 5, 100));
        assert!(sheets.is_proved());
    }

    #[test]
    fn several_sizes_share_sheets_and_offcuts_go_first() {
        let cutting = Cutting::snapped(Length::inches(0.060));
        let wanted = vec![inches(12.0, 16.0, 30), inches(24.0, 24.0, 6), inches(8.0, 12.0, 20)];
        let sheets = cut_job(&job(wanted.clone(), vec![]), &cutting).expect("cuts");
        for (size, one) in wanted.iter().enumerate() {
            assert_eq!(given(&sheets, size), one.count);
        }
        // 30 x 192 + 6 x 576 + 20 x 96 = 11136 sq in are 2.4 sheets of 4608.
        assert_eq!((sheets.n_sheets, sheets.least), (3, 3));
        let offcut = Size::new(Length::inches(24.0), Length::inches(16.0));
        let with = cut_job(&job(wanted, vec![offcut]), &cutting).expect("cuts");
        assert_eq!(with.offcuts.len(), 1);
        assert_eq!((0..3).map(|size| given(&with, size)).sum::<u32>(), 56);
    }

    #[test]
    fn what_cannot_be_cut_is_told() {
        let cutting = Cutting::snapped(Length::mm(1.5));
        let refused =
            |wanted: Vec<Wanted>| cut_job(&job(wanted, vec![]), &cutting).expect_err("refused");
        assert_eq!(refused(vec![]), StockError::Nothing);
        assert!(matches!(refused(vec![inches(60.0, 60.0, 1)]), StockError::TooLarge { .. }));
        assert!(matches!(refused(vec![inches(1.0, 1.0, 1_000_000)]), StockError::TooMany { .. }));
        assert!(matches!(refused(vec![inches(4.0, 4.0, 1); 13]), StockError::TooManySizes { .. }));
        let words = refused(vec![inches(60.0, 60.0, 1)]).to_string();
        assert!(words.contains("1524.0 mm x 1524.0 mm"), "{words}");
    }
}
