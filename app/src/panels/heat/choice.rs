//! What the page knows of the heater: what the maker said of it, or what logged pulls say.

use engine::heat::{Calibration, Sides};
use works::HeaterSaid;

use crate::panels::bench::Bench;
use crate::reactive::prelude::*;

/// What the maker said of the heater, and the log that knows better; cheap to copy.
///
/// It is of the bench and of the day, so it is no part of the plan.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heat {
    /// What the maker guessed.
    pub(super) guess: RwSignal<HeaterSaid>,
    bench: Bench,
}

/// Puts the heater in reach of the panels that speak of it.
pub(crate) fn provide_heat(bench: Bench) {
    provide_context(Heat { guess: bench.heater, bench });
}

/// The heater of the page; a page without one is a bug with this name.
pub(crate) fn use_heat() -> Heat {
    expect_context::<Heat>()
}

impl Heat {
    /// The heater as it is known now, from pulls that were logged with it where there are some.
    pub(crate) fn said(self) -> HeaterSaid {
        let guess = self.guess.get();
        let sides = if guess.is_both { Sides::Both } else { Sides::One };
        known(guess, self.bench.calibration(sides))
    }
}

/// What is known of a heater: logged pulls go before what the maker guessed.
fn known(guess: HeaterSaid, logged: Option<Calibration>) -> HeaterSaid {
    let Some(Calibration { absorbed, count }) = logged else { return guess };
    let kilowatts = [absorbed.0, absorbed.1].map(|flux| flux.to_watts_per_m2() / 1e3);
    HeaterSaid { flux: kilowatts, logged: u32::try_from(count).unwrap_or(u32::MAX), ..guess }
}

#[cfg(test)]
mod tests {
    use engine::units::Flux;

    use super::*;

    #[test]
    fn logged_pulls_go_before_a_guess() {
        let guess = HeaterSaid { is_both: true, ..HeaterSaid::default() };
        assert_eq!(known(guess, None), guess);
        let absorbed = (Flux::watts_per_m2(6e3), Flux::watts_per_m2(7500.0));
        let found = known(guess, Some(Calibration { absorbed, count: 3 }));
        assert_eq!((found.flux, found.logged, found.is_both), ([6.0, 7.5], 3, true));
    }
}
