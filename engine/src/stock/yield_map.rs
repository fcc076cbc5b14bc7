//! Which size of blank wastes least of a sheet: for someone who builds or chooses a frame.

use super::cutting::check_size;
use super::pattern::best_within;
use super::{Cutting, StockError, Wanted};
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
    /// Whether blanks may lie either way on it.
    pub may_turn: bool,
    /// Sizes from which no neighbour does better, the best first.
    pub peaks: Vec<Peak>,
}

/// A size that wastes less than those about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// The blank; where it may turn, its width is at most its depth.
    pub size: Size,
    /// How many come out of a sheet.
    pub count: u32,
    /// The share of the sheet that becomes blanks.
    pub share: f64,
}

/// The sizes that are looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// The shortest side.
    pub least: Length,
    /// The longest side.
    pub most: Length,
    /// From one to the next.
    pub step: Length,
    /// Whether blanks may lie either way on the sheet.
    pub may_turn: bool,
}

/// How many blanks of each size come out of a sheet.
///
/// Cost: a fraction of a millisecond a size; at most 10 000 sizes are looked at, with a wider step if need be.
///
/// # Errors
/// Says which length is none that a sheet, blank or cut has.
pub fn yield_map(sheet: Size, sizes: Sizes, cutting: &Cutting) -> Result<YieldMap, StockError> {
    /// Sizes along one side.
    const MOST: usize = 100;
    /// Ways to part a rectangle that are compared for one size at most.
    const COMPARED: u64 = 1_000_000;
    let Sizes { least, most, step, may_turn } = sizes;
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
        // Where blanks may turn, a size and the same size turned give as many.
        for (d, &depth) in sides.iter().enumerate().skip(if may_turn { w } else { 0 }) {
            let wanted = Wanted { size: Size::new(width, depth), may_turn, count: 1 };
            let count = best_within(sheet, &[wanted], &[1], cutting, COMPARED)?.pattern.count(0);
            counts[w * n + d] = count;
            if may_turn {
                counts[d * n + w] = count;
            }
        }
    }
    let mut map = YieldMap {
        widths: sides.clone(),
        depths: sides,
        counts,
        sheet,
        may_turn,
        peaks: Vec::new(),
    };
    for peak in map.found_peaks() {
        let peak = refined(&map, peak, sizes, cutting)?;
        if !map.peaks.iter().any(|known| known.size == peak.size) {
            map.peaks.push(peak);
        }
    }
    by_share(&mut map.peaks);
    Ok(map)
}

/// The best size just above a peak that divides the sheet without a rest; sizes in steps pass it by.
fn refined(
    map: &YieldMap,
    peak: Peak,
    sizes: Sizes,
    cutting: &Cutting,
) -> Result<Peak, StockError> {
    const COMPARED: u64 = 1_000_000;
    let whole = [map.sheet.width, map.sheet.depth];
    // A size whose rest is too narrow to snap off counts less, so that the peak may be as far below.
    let reach = sizes.step + cutting.least_strip;
    let exact = |side: Length| {
        let parts = (1..=60_u32).flat_map(|n| whole.map(|whole| (whole, f64::from(n))));
        let part =
            |(whole, n): (Length, f64)| (whole + cutting.kerf) / n - cutting.kerf - cutting.wander;
        let near = parts.map(part).filter(move |part| *part > side && *part <= side + reach);
        let near: Vec<Length> =
            near.map(|part| super::cutting::length(micrometres_below(part))).collect();
        std::iter::once(side).chain(near).collect::<Vec<Length>>()
    };
    let mut best = peak;
    for &width in &exact(peak.size.width) {
        for &depth in &exact(peak.size.depth) {
            let size = Size::new(width, depth);
            if check_size("a blank", size).is_err() {
                continue;
            }
            let wanted = Wanted { size, may_turn: sizes.may_turn, count: 1 };
            let found = best_within(map.sheet, &[wanted], &[1], cutting, COMPARED)?;
            let count = found.pattern.count(0);
            let share = f64::from(count) * (size.rect().area() / map.sheet.rect().area());
            if share > best.share + 1e-9 {
                best = Peak { size, count, share };
            }
        }
    }
    Ok(best)
}

/// Whole micrometres that are no more than a length, but for a rounding error.
fn micrometres_below(length: Length) -> i64 {
    let nearest = super::cutting::micrometres(length);
    let is_above = super::cutting::length(nearest) > length + Length::mm(1e-7);
    nearest - i64::from(is_above)
}

/// The best first.
fn by_share(peaks: &mut [Peak]) {
    peaks.sort_by(|a, b| {
        let wider = b.size.width.to_mm().total_cmp(&a.size.width.to_mm());
        let deeper = b.size.depth.to_mm().total_cmp(&a.size.depth.to_mm());
        b.share.total_cmp(&a.share).then(wider).then(deeper)
    });
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
            for d in if self.may_turn { w } else { 0 }..n {
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
        by_share(&mut peaks);
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
        let map = yield_map(sheet, sizes(10.0, 24.0, 1.0), &cutting).expect("maps");
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
        let half = yield_map(sheet, sizes(12.5, 16.5, 4.0), &cutting);
        let half = half.expect("maps");
        assert!(half.share(0, 1) < 0.86, "{}", half.share(0, 1));
        assert!(yield_map(sheet, sizes(0.0, 1.0, 1.0), &cutting).is_err());
    }

    // Along the grain 16 in wide and 12 in deep are 3 x 8 = 24 of a sheet, 12 wide and 16 deep 4 x 6 = 24, but 24 wide and
    // 20 deep are 2 x 4 = 8 and 20 wide and 24 deep 2 x 4 with a sixth of the width left over.
    #[test]
    fn blanks_that_may_not_turn_are_counted_each_way() {
        let sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        let cutting = Cutting::snapped(Length::inches(0.060));
        let fixed = Sizes { may_turn: false, ..sizes(12.0, 24.0, 4.0) };
        let map = yield_map(sheet, fixed, &cutting).expect("maps");
        assert_eq!(map.widths.len(), 4);
        let count = |w: usize, d: usize| map.counts[w * 4 + d];
        assert_eq!([count(0, 1), count(1, 0), count(3, 2), count(2, 3)], [24, 24, 8, 8]);
        let turned = yield_map(sheet, sizes(12.0, 24.0, 4.0), &cutting).expect("maps");
        assert!(turned.counts.iter().zip(&map.counts).all(|(either, fixed)| either >= fixed));
    }

    // A third of 1219.2 mm is 406.4 mm, a quarter 304.8 mm; steps of 10 mm pass both by.
    #[test]
    fn steps_that_pass_a_size_by_that_divides_the_sheet_find_it_all_the_same() {
        let sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        let cutting = Cutting::snapped(Length::mm(1.5));
        let [least, most, step] = [200.0, 500.0, 10.0].map(Length::mm);
        let sizes = Sizes { least, most, step, may_turn: true };
        let map = yield_map(sheet, sizes, &cutting).expect("maps");
        let best = map.peaks[0];
        assert!(best.share > 1.0 - 1e-9, "{:?}", map.peaks);
        let again = Wanted { size: best.size, may_turn: true, count: 1 };
        let pattern =
            best_within(sheet, &[again], &[1], &cutting, 1_000_000).expect("cuts").pattern;
        assert_eq!(pattern.count(0), best.count);
    }

    fn sizes(least: f64, most: f64, step: f64) -> Sizes {
        let [least, most, step] = [least, most, step].map(Length::inches);
        Sizes { least, most, step, may_turn: true }
    }
}
