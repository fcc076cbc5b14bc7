//! Whole sheets that any way of cutting a job takes at least, whatever comes out of which offcut.

use super::cutting::micrometres;
use super::pattern::best_bounded;
use super::several::{COMPARED, Spent, surface};
use super::{Cutting, Job, StockError, Wanted};
use crate::plan::Size;

/// Whole sheets that a job takes at least: by the surface of all sizes, and of each size by its count.
///
/// A sheet and each offcut give no more than their best pattern, or than their surface where that is not proved. What the
/// offcuts give at most is taken off what is wanted, and the rest comes out of sheets.
pub(super) fn least(job: &Job, cutting: &Cutting, spent: &mut Spent) -> Result<u32, StockError> {
    let worth: Vec<i64> =
        job.wanted.iter().map(|one| if one.count > 0 { surface(one.size) } else { 0 }).collect();
    let count = |one: &Wanted| i64::from(one.count);
    let wanted: i64 = worth.iter().zip(&job.wanted).map(|(area, one)| area * count(one)).sum();
    if wanted == 0 {
        return Ok(0);
    }
    let offcuts = alike(&job.offcuts);
    let mut bound = Bound { cutting, offcuts: &offcuts, sheet: job.sheet, spent };
    let mut least = bound.sheets(wanted, (&job.wanted, &worth), 1)?;
    for (one, area) in job.wanted.iter().zip(&worth).filter(|(one, _)| one.count > 0) {
        least = least.max(bound.sheets(count(one), (&[*one], &[1]), *area)?);
    }
    Ok(least)
}

/// Offcuts of one size together.
pub(super) fn alike(offcuts: &[Size]) -> Vec<(Size, Vec<usize>)> {
    let mut alike: Vec<(Size, Vec<usize>)> = Vec::new();
    for (n, &size) in offcuts.iter().enumerate() {
        let key = |size: &Size| (micrometres(size.width), micrometres(size.depth));
        match alike.iter_mut().find(|(known, _)| key(known) == key(&size)) {
            Some((_, numbers)) => numbers.push(n),
            None => alike.push((size, vec![n])),
        }
    }
    alike.sort_by_key(|(size, numbers)| (surface(*size), numbers[0]));
    alike
}

struct Bound<'a> {
    cutting: &'a Cutting,
    offcuts: &'a [(Size, Vec<usize>)],
    sheet: Size,
    spent: &'a mut Spent,
}

impl Bound<'_> {
    /// Sheets for so much of what these sizes are worth, `each` being the least surface of a unit of it.
    fn sheets(
        &mut self,
        wanted: i64,
        of: (&[Wanted], &[i64]),
        each: i64,
    ) -> Result<u32, StockError> {
        let mut left = wanted;
        for (size, numbers) in self.offcuts {
            let number = i64::try_from(numbers.len()).unwrap_or(i64::MAX);
            left = left.saturating_sub(self.most(*size, of, each)?.saturating_mul(number));
            if left <= 0 {
                return Ok(0);
            }
        }
        let most = self.most(self.sheet, of, each)?.max(1);
        Ok(u32::try_from((left + most - 1) / most).unwrap_or(u32::MAX))
    }

    /// What a piece gives at most.
    fn most(
        &mut self,
        piece: Size,
        (wanted, worth): (&[Wanted], &[i64]),
        each: i64,
    ) -> Result<i64, StockError> {
        // Rounded up to the next tenth of a millimetre, as blanks are rounded down.
        let side = |side| micrometres(side) / 100 + 1;
        let by_surface = side(piece.width) * side(piece.depth) / each.max(1);
        if self.spent.is_all() {
            return Ok(by_surface);
        }
        let best = best_bounded(piece, wanted, worth, self.cutting, COMPARED.0)?;
        self.spent.add(best.compared);
        Ok(best.at_most.map_or(by_surface, |most| most.min(by_surface)))
    }
}
