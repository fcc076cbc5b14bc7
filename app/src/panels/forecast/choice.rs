//! What the maker chose of a forecast: what the sheet is taken for, how far it hangs, how it lands, and how fine its net is.

use works::Forecasting;

use engine::drape::Settings;
use engine::file::save;
use engine::plan::{Plan, PullId};
use engine::units::Length;

/// How fine the sheet's net is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Net {
    /// A first glance only.
    Coarse,
    /// Fine enough to rank layouts by.
    Middle,
    /// For molds with small details.
    Fine,
}

impl Net {
    /// All of them, the coarsest first.
    pub(super) const ALL: [Self; 3] = [Self::Coarse, Self::Middle, Self::Fine];

    /// The width of a square, in millimetres.
    pub(super) const fn mesh(self) -> f64 {
        match self {
            Self::Coarse => 6.0,
            Self::Middle => 3.0,
            Self::Fine => 2.0,
        }
    }

    /// What it is remembered as.
    pub(super) const fn key(self) -> &'static str {
        match self {
            Self::Coarse => "quick",
            Self::Middle => "usual",
            Self::Fine => "fine",
        }
    }

    /// What the page calls it.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Coarse => "Quick (6 mm)",
            Self::Middle => "Usual (3 mm)",
            Self::Fine => "Fine (2 mm)",
        }
    }
}

/// The friction that a sheet which slides begins with.
pub(super) const FRICTION: f64 = 0.3;

/// What the maker chose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Choice {
    /// Whether the sheet is equally thick between two places where it has landed, instead of rubber.
    pub(super) is_uniform: bool,
    /// Whether rubber slides where it lands, instead of sticking there.
    pub(super) slides: bool,
    /// How much holds it then: the largest pull along the surface over what presses it on.
    pub(super) friction: f64,
    /// How far its middle hangs before it is formed.
    pub(super) sag: Length,
    /// How fine its net is.
    pub(super) net: Net,
}

impl Default for Choice {
    fn default() -> Self {
        let (friction, sag) = (FRICTION, Length::ZERO);
        Self { is_uniform: false, slides: false, friction, sag, net: Net::Middle }
    }
}

impl Choice {
    /// The forecast of a pull on a net.
    pub(super) fn ask(self, plan: &Plan, pull: PullId, net: Net) -> Forecasting {
        Forecasting {
            plan: save(plan),
            pull: pull.0,
            is_uniform: self.is_uniform,
            mesh: net.mesh(),
            sag: self.sag.to_mm(),
            friction: (self.slides && !self.is_uniform).then_some(self.friction),
            finding: None,
        }
    }
}

/// A sag that the plan's opening takes, or the most that it does.
pub(super) fn sag_over(plan: &Plan, sag: Length) -> Result<Length, Length> {
    let most = Settings::most_sag(plan.machine.opening());
    // The most is shown to a thousandth, which may be a little more than it is.
    let is_within = Length::ZERO <= sag && sag <= most + Length::mm(0.001);
    if is_within { Ok(sag.min(most)) } else { Err(most) }
}

#[cfg(test)]
mod tests {
    use engine::defaults::{Amount, Given, reason};
    use engine::drape::{DrapeError, forecast};
    use engine::plan::sample;
    use engine::rules::Measure;

    use super::*;

    #[test]
    fn only_rubber_that_slides_has_friction_and_its_default_is_the_one_that_is_explained() {
        let asked = |is_uniform, slides| {
            let choice = Choice { is_uniform, slides, ..Choice::default() };
            choice.ask(&sample(), PullId(1), Net::Coarse).friction
        };
        assert_eq!(asked(false, true), Some(FRICTION));
        assert_eq!([asked(false, false), asked(true, true), asked(true, false)], [None; 3]);
        let told = reason(Given::Friction).amount;
        assert_eq!(told, Amount::Measure(Measure::Ratio(FRICTION)));
    }

    #[test]
    fn every_sheet_is_asked_for_with_its_sag_and_the_default_is_the_one_that_is_explained() {
        for is_uniform in [false, true] {
            let choice = Choice { is_uniform, sag: Length::inches(0.5), ..Choice::default() };
            assert_eq!(
                choice.ask(&sample(), PullId(1), Net::Coarse).sag.to_bits(),
                12.7_f64.to_bits()
            );
        }
        let told = reason(Given::Sag).amount;
        assert_eq!(told, Amount::Measure(Measure::Length(Choice::default().sag)));
    }

    #[test]
    fn the_most_that_an_opening_takes_is_the_engine_s_and_is_taken_as_it_is_shown() {
        let plan = sample();
        let most = sag_over(&plan, Length::mm(-1.0)).expect_err("no sag");
        let engine_s = |sag| {
            let settings = Settings { sag, mesh: Length::mm(50.0), ..Settings::default() };
            forecast(&plan, PullId(1), &settings, &mut ()).map(|_| ())
        };
        let more = most + Length::mm(0.01);
        assert_eq!(engine_s(more), Err(DrapeError::Sag { sag: more, most }));
        assert_eq!(sag_over(&plan, more), Err(most));
        for sag in [Length::ZERO, most, most + Length::mm(0.0005)] {
            let taken = sag_over(&plan, sag).expect("within");
            assert!(taken <= most && taken.to_mm() > sag.to_mm() - 0.001, "{sag:?}");
            assert_eq!(engine_s(taken), Ok(()));
        }
    }

    #[test]
    fn the_usual_net_is_the_one_that_is_explained() {
        assert_eq!(reason(Given::Net).amount, Amount::Word(Choice::default().net.name()));
    }
}
