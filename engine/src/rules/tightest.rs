//! How near the molds of a pull stand, as a factor that clearance rules can be compared with.

use super::bench::{Bench, Standing};
use super::{ReadyMolds, spacing};
use crate::plan::{Plan, PullId};
use crate::units::Length;

/// The least spacing over height of all pairs in a pull, over the height that its clearance rule takes; zero where molds
/// touch, `None` for fewer than two molds.
///
/// Trim allowances and the least gap are left out: it is what the sheet sees. Cost: pairs far apart by their bounds are not
/// measured.
#[must_use]
pub fn tightest(plan: &Plan, pull: PullId) -> Option<f64> {
    let bench = Bench::new(plan, pull, &ReadyMolds::default())?;
    let standing = bench.standing();
    let pairs = standing
        .iter()
        .enumerate()
        .flat_map(|(at, one)| standing[at + 1..].iter().map(move |other| (one, other)));
    pairs.fold(None, |least: Option<f64>, pair| Some(nearer(&bench, pair, least)))
}

/// The least factor so far, once this pair is looked at.
fn nearer(
    bench: &Bench<'_>,
    (one, other): (&Standing<'_>, &Standing<'_>),
    least: Option<f64>,
) -> f64 {
    let height = spacing::height(&bench.plan.settings, one.mold, other.mold);
    let of_bounds = Length::mm(one.extent.distance(other.extent)) / height;
    match least {
        Some(least) if of_bounds >= least => least,
        least => {
            let factor = bench.gap(one, other).distance / height;
            least.map_or(factor, |least| least.min(factor))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, layout};
    use super::*;
    use crate::plan::{HeightBasis, Mold};

    // Blocks of 40 mm: the gap is the distance of their middles less 40 mm.
    #[test]
    fn the_tightest_pair_counts_over_the_height_of_the_rule() {
        let (limpet, crab) = (block("Limpet", 10.0), block("Crab shell", 20.0));
        let mut plan = layout(&[
            (&limpet, &[(60.0, 150.0, 0.0), (120.0, 150.0, 0.0)]),
            (&crab, &[(184.0, 150.0, 0.0)]),
        ]);
        // Limpets 20 mm apart are twice their height, crab and limpet 24 mm 1.2 times the taller.
        assert!((tightest(&plan, PULL).expect("pairs") - 1.2).abs() < 1e-9);
        plan.settings.clearance.basis = HeightBasis::Mean;
        assert!((tightest(&plan, PULL).expect("pairs") - 1.6).abs() < 1e-9);
    }

    #[test]
    fn a_spacer_counts_and_touching_molds_are_at_zero() {
        let raised = Mold { spacer: Length::mm(20.0), ..block("Crab shell", 20.0) };
        let plan = layout(&[(&raised, &[(60.0, 150.0, 0.0), (150.0, 150.0, 0.0)])]);
        assert!((tightest(&plan, PULL).expect("a pair") - 1.25).abs() < 1e-9);
        let plan = layout(&[(&raised, &[(60.0, 150.0, 0.0), (80.0, 150.0, 0.0)])]);
        assert_eq!(tightest(&plan, PULL), Some(0.0));
    }

    #[test]
    fn a_single_mold_has_no_spacing() {
        let plan = layout(&[(&block("Limpet", 10.0), &[(60.0, 150.0, 0.0)])]);
        assert_eq!(tightest(&plan, PULL), None);
        assert_eq!(tightest(&plan, PullId(9)), None);
    }
}
