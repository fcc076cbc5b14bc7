//! What the maker chose of a forecast: what the sheet is taken for, how it lands, and how fine its net is.

use works::Forecasting;

use engine::file::save;
use engine::plan::{Plan, PullId};

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
    /// How fine its net is.
    pub(super) net: Net,
}

impl Default for Choice {
    fn default() -> Self {
        Self { is_uniform: false, slides: false, friction: FRICTION, net: Net::Middle }
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
            friction: (self.slides && !self.is_uniform).then_some(self.friction),
            finding: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use engine::defaults::{Amount, Given, reason};
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
    fn the_usual_net_is_the_one_that_is_explained() {
        assert_eq!(reason(Given::Net).amount, Amount::Word(Choice::default().net.name()));
    }
}
