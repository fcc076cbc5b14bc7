//! The distances the rules ask for, for those who place molds and would rather not break them.

use crate::plan::{HeightBasis, Mold, MoldId, Plan, Settings};
use crate::units::Length;

/// The clearance that two molds of a plan need; `None` when it does not have them.
#[must_use]
pub fn clearance(plan: &Plan, a: MoldId, b: MoldId) -> Option<Length> {
    Some(between(&plan.settings, plan.molds.get(&a)?, plan.molds.get(&b)?))
}

/// The margin that a mold of a plan needs to the edge of the opening; `None` when it does not have it.
#[must_use]
pub fn margin(plan: &Plan, mold: MoldId) -> Option<Length> {
    Some(to_edge(&plan.settings, plan.molds.get(&mold)?))
}

/// The clearance that two molds need: spacers count, because the sheet falls from the top to the platen.
pub(super) fn between(settings: &Settings, a: &Mold, b: &Mold) -> Length {
    let heights = [a.standing_height(), b.standing_height()];
    settings.clearance.between(heights, [a.trim, b.trim])
}

/// The height that the clearance of two molds is a factor of.
pub(super) fn height(settings: &Settings, a: &Mold, b: &Mold) -> Length {
    let [a, b] = [a.standing_height(), b.standing_height()];
    match settings.clearance.basis {
        HeightBasis::Taller => a.max(b),
        HeightBasis::Mean => (a + b) / 2.0,
    }
}

/// The margin that a mold needs to the edge of the opening, its spacer counted.
pub(super) fn to_edge(settings: &Settings, mold: &Mold) -> Length {
    settings.edge.margin(mold.standing_height(), mold.trim)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, layout};
    use super::*;

    #[test]
    fn spacing_is_what_the_rules_ask_for() {
        let raised = Mold { spacer: Length::mm(20.0), ..block("Crab shell", 20.0) };
        let plan = layout(&[(&block("Limpet", 10.0), &[]), (&raised, &[])]);
        assert_eq!(clearance(&plan, MoldId(1), MoldId(2)), Some(Length::mm(70.0)));
        assert_eq!(margin(&plan, MoldId(1)), Some(Length::mm(25.0)));
        assert_eq!(margin(&plan, MoldId(2)), Some(Length::mm(40.0)));
        assert_eq!(clearance(&plan, MoldId(1), MoldId(3)), None);
        assert_eq!(margin(&plan, MoldId(3)), None);
    }
}
