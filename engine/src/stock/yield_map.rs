//! Which size of blank wastes least of a sheet: for someone who builds or chooses a frame.

use super::cutting::check_size;
use super::{Cutting, StockError, Wanted, most_of_one};
use crate::plan::Size;
use crate::units::Length;

/// How much of a sheet becomes blanks, over their width and depth.
#[derive(Clone, Debug, PartialEq)]
pub struct YieldMap {
    /// The widths looked at.
    pub widths: Vec<Length>,
    /// The depths looked at.
    pub depths: Vec<Length>,
    /// How many blanks come out, depth after depth for each width.
    pub counts: Vec<u32>,
    /// The sheet.
    pub sheet: Size,
    /// Sizes from which no neighbour does better, the best first.
    pub peaks: Vec<Peak>,
}

/// A size that wastes less than those about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// The blank, its width at most its depth.
    pub size: Size,
    /// How many come out of a sheet.
    pub count: u32,
    /// The share of the sheet that becomes blanks.
    pub share: f64,
}

/// How many blanks of each size between two come out of a sheet, both ways, at steps of `step`.
///
/// Cost: a fraction of a millisecond a size; at most 10 000 sizes are looked at, with a wider step if need be.
///
/// # Errors
/// Says which length is none that a sheet, blank or cut has.
pub fn yield_map(
    sheet: Size,
    (least, most): (Length, Length),
    step: Length,
    cutting: &Cutting,
) -> Result<YieldMap, StockError> {
    /// Sizes along one side.
    const MOST: usize = 100;
    check_size("the least blank", Size::new(least, least))?;
    check_size("the largest blank", Size::new(most, most))?;
    let reach = (most - least).max(Length::ZERO);
    let step = if step > Length::ZERO { step } else { reach };
    let step = step.max(reach * (1.0 / 99.0)).max(Length::mm(1e-3));
    let sides: Vec<Length> = (0..MOST)
        .map(|k| least + step * u32::try_from(k).map_or(f64::NAN, f64::from))
        .take_while(|&side| side <= most + Length::mm(1e-6))
        .collect();
    let n = sides.len();
    let mut counts = vec![0; n * n];
    for (w, &width) in sides.iter().enumerate() {
        for (d, &depth) in sides.iter().enumerate().skip(w) {
            let wanted = Wanted { size: Size::new(width, depth), may_turn: true, count: 1 };
            let count = most_of_one(sheet, wanted, cutting)?.count(0);
            counts[w * n + d] = count;
            counts[d * n + w] = count;
        }
    }
    let mut map =
        YieldMap { widths: sides.clone(), depths: sides, counts, sheet, peaks: Vec::new() };
    map.peaks = map.found_peaks();
    Ok(map)
}

impl YieldMap {
    /// The share of the sheet that becomes blanks of a width and a depth, by their numbers.
    #[must_use]
    pub fn share(&self, width: usize, depth: usize) -> f64 {
        let count = self.counts.get(width * self.depths.len() + depth).copied().unwrap_or(0);
        let area = self.widths[width].to_mm() * self.depths[depth].to_mm();
        f64::from(count) * area / self.sheet.rect().area().to_mm2()
    }

    /// Sizes that waste no more than any next to them, and not as much as some.
    fn found_peaks(&self) -> Vec<Peak> {
        /// Peaks told.
        const MOST: usize = 12;
        let n = self.widths.len();
        let mut peaks = Vec::new();
        for w in 0..n {
            for d in w..n {
                let here = self.share(w, d);
                let rows = w.saturating_sub(1)..(w + 2).min(n);
                let columns = d.saturating_sub(1)..(d + 2).min(n);
                let around = rows.flat_map(|a| columns.clone().map(move |b| (a, b)));
                let shares: Vec<f64> = around.map(|(a, b)| self.share(a, b)).collect();
                let is_top = shares.iter().all(|&share| share <= here);
                if is_top && here > 0.0 && shares.iter().any(|&share| share < here) {
                    let size = Size::new(self.widths[w], self.depths[d]);
                    peaks.push(Peak { size, count: self.counts[w * n + d], share: here });
                }
            }
        }
        peaks.sort_by(|a, b| {
            b.share
                .total_cmp(&a.share)
                .then_with(|| b.size.width.to_mm().total_cmp(&a.size.width.to_mm()))
        });
        peaks.truncate(MOST);
        peaks
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Blanks of whole feet and of half a foot divide a sheet of 4 x 8 ft without a rest: 12 x 16 in among them (24 of
    // them, common practice).
    #[test]
    fn sizes_that_divide_a_sheet_are_peaks_of_its_map() {
        let sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        let cutting = Cutting::snapped(Length::inches(0.060));
        let range = (Length::inches(10.0), Length::inches(24.0));
        let map = yield_map(sheet, range, Length::inches(1.0), &cutting).expect("maps");
        assert_eq!((map.widths.len(), map.counts.len()), (15, 225));
        assert_eq!(map.counts[2 * 15 + 6], 24);
        assert!((map.share(2, 6) - 1.0).abs() < 1e-12);
        assert!(map.peaks.iter().all(|peak| peak.share <= 1.0 + 1e-12));
        let is_peak = |width: f64, depth: f64| {
            let near =
                |a: Length, inches: f64| (a - Length::inches(inches)).abs() < Length::mm(0.01);
            map.peaks
                .iter()
                .any(|peak| near(peak.size.width, width) && near(peak.size.depth, depth))
        };
        assert!(is_peak(12.0, 16.0) && is_peak(16.0, 24.0), "{:?}", map.peaks);
        // A frame a half inch too large loses a seventh of the sheet.
        let half = yield_map(
            sheet,
            (Length::inches(12.5), Length::inches(16.5)),
            Length::inches(4.0),
            &cutting,
        );
        let half = half.expect("maps");
        assert!(half.share(0, 1) < 0.86, "{}", half.share(0, 1));
        assert!(
            yield_map(sheet, (Length::ZERO, Length::mm(1.0)), Length::mm(1.0), &cutting).is_err()
        );
    }
}
