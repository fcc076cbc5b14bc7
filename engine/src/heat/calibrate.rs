//! What the maker's own pulls say of the heater: the flux that the sheet takes up.

use super::forecast::{LONGEST, rise_for_flux};
use super::{Heater, window};
use crate::plan::Plastic;
use crate::units::{Flux, Length, Seconds};

/// A pull that came out well, or would have a little sooner or later: how long the sheet was heated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Logged {
    /// What it was made of.
    pub plastic: Plastic,
    /// How thick it was.
    pub gauge: Length,
    /// How long it was heated until it was ready.
    pub heated: Seconds,
}

/// The flux that logged pulls speak for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    /// From and to; of a single pull a tenth to both sides, since no hand and no eye is more exact.
    pub absorbed: (Flux, Flux),
    /// How many pulls it rests on.
    pub count: usize,
}

/// What a heater of these sides gave, from pulls that were ready after the time logged; `None` when none says anything.
///
/// For each pull the flux is found at which the mean of the sheet comes to where it is usually formed just then, with the
/// heat that the plastic takes up in full. So the range is that of this heater on these days, and times forecast from it
/// for a gauge and plastic that was logged come back as they were. Cost: some milliseconds a pull.
#[must_use]
pub fn absorbed_flux(heater: &Heater, pulls: &[Logged]) -> Option<Calibration> {
    absorbed_flux_of(pulls.iter().filter_map(|pull| flux_of(heater, pull)))
}

/// What fluxes of single pulls say together; `None` when there are none.
#[must_use]
pub fn absorbed_flux_of(pulls: impl Iterator<Item = Flux>) -> Option<Calibration> {
    /// What a single pull leaves open to both sides.
    const OPEN: f64 = 0.1;
    let found: Vec<f64> = pulls.map(Flux::to_watts_per_m2).collect();
    let (low, high) = found
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(low, high), &flux| (low.min(flux), high.max(flux)));
    let middle = low.midpoint(high);
    let (low, high) = (low.min(middle * (1.0 - OPEN)), high.max(middle * (1.0 + OPEN)));
    (!found.is_empty()).then_some(Calibration {
        absorbed: (Flux::watts_per_m2(low), Flux::watts_per_m2(high)),
        count: found.len(),
    })
}

/// The flux of one pull; `None` outside of what any heater gives.
#[must_use]
pub fn flux_of(heater: &Heater, pull: &Logged) -> Option<Flux> {
    /// From a lamp far away to a panel that glows, in W/m².
    const RANGE: (f64, f64) = (300.0, 120e3);
    let rise = window(pull.plastic).usual.0 - heater.room;
    let flux = rise / rise_for_flux(pull.plastic, pull.gauge, heater, pull.heated);
    let is_one = flux >= RANGE.0 && flux <= RANGE.1 && pull.heated.get() <= LONGEST;
    is_one.then_some(Flux::watts_per_m2(flux))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::{Sides, heating};

    fn logged(mm: f64, seconds: f64) -> Logged {
        let (gauge, heated) = (Length::mm(mm), Seconds::new(seconds));
        Logged { plastic: Plastic::Hips, gauge, heated }
    }

    #[test]
    fn the_time_of_a_logged_pull_lies_in_what_is_forecast_from_it_and_scales_by_gauge() {
        let heater = Heater { sides: Sides::Both, ..Heater::default() };
        let found = absorbed_flux(&heater, &[logged(1.5, 40.0)]).expect("it says something");
        assert_eq!(found.count, 1);
        let known = Heater { absorbed: found.absorbed, ..heater };
        let same = heating(Plastic::Hips, Length::mm(1.5), &known).usual;
        assert!(same.from.get() < 40.0 && same.to.get() > 40.0, "{same:?}");
        // Under a constant flux from both sides the time goes with the gauge (Carslaw & Jaeger, section 3.8).
        let thick = heating(Plastic::Hips, Length::mm(3.0), &known).usual;
        assert!((thick.to / same.to - 2.0).abs() < 0.01, "{thick:?}");
    }

    #[test]
    fn more_pulls_widen_the_range_to_hold_them_all_and_nonsense_says_nothing() {
        let heater = Heater::default();
        let one = absorbed_flux(&heater, &[logged(1.5, 60.0)]).expect("one");
        let two = absorbed_flux(&heater, &[logged(1.5, 60.0), logged(1.5, 90.0)]).expect("two");
        assert!(two.absorbed.0 < one.absorbed.0 && two.count == 2, "{two:?}");
        for pull in [logged(1.5, 0.0), logged(1.5, 1e9), logged(0.0, 60.0), logged(1.5, f64::NAN)] {
            assert_eq!(absorbed_flux(&heater, &[pull]), None, "{pull:?}");
        }
        assert_eq!(absorbed_flux(&heater, &[]), None);
    }
}
