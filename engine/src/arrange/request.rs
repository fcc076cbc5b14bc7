//! What an arrangement is asked for: which molds, to what end, with how much patience.

use std::collections::BTreeMap;

use super::ArrangeError;
use crate::plan::{CopyNumber, MoldId, Plan, PullId};
use crate::search::{Budget, Seed};

/// One copy of a mold, wherever it stands or does not stand.
pub type MoldCopy = (MoldId, CopyNumber);

/// What the molds are laid out for.
#[derive(Clone, Debug, PartialEq)]
pub enum Intent {
    /// Every chosen mold on the blank, with the clearances and margins the rules ask for.
    Fit,
    /// As many of the chosen molds as go on, or those worth the most; what is not worth its place is taken off.
    Most(Worth),
    /// The spare room used: gaps above the rule, and what else the trade likes about a layout.
    Spread(Aims),
    /// What the rules find put right by the least movement.
    Tidy,
}

/// What a mold on the blank is worth.
#[derive(Clone, Debug, PartialEq)]
pub enum Worth {
    /// Each the same.
    ByCount,
    /// Each copy as much as its mold is said to be; a mold of which nothing is said counts 1.
    ByValue(BTreeMap<MoldId, f64>),
}

impl Worth {
    /// What one copy of a mold counts.
    #[must_use]
    pub fn of(&self, mold: MoldId) -> f64 {
        match self {
            Self::ByCount => 1.0,
            Self::ByValue(values) => values.get(&mold).copied().unwrap_or(1.0),
        }
    }
}

/// How much each aim of a spread matters; zero leaves it out.
///
/// The default is the practice of the trade: against webs spread the molds, put the tall one in the middle, turn
/// long faces apart; keep long walls parallel to the frame (common practice, all four).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aims {
    /// The smallest gap above the rule, between molds and to the clamp, as large as it gets.
    pub room: f64,
    /// Tall molds in the middle of the heat.
    pub tall_inside: f64,
    /// Long walls parallel to the frame.
    pub square: f64,
    /// Long faces turned apart.
    pub faces_apart: f64,
}

impl Aims {
    /// Nothing but room.
    pub const ROOM: Self = Self { room: 1.0, tall_inside: 0.0, square: 0.0, faces_apart: 0.0 };

    pub(super) const fn weights(&self) -> [(&'static str, f64); 4] {
        [
            ("room", self.room),
            ("tall molds inside", self.tall_inside),
            ("long walls square", self.square),
            ("long faces apart", self.faces_apart),
        ]
    }
}

impl Default for Aims {
    fn default() -> Self {
        Self { room: 1.0, tall_inside: 0.5, square: 0.5, faces_apart: 0.25 }
    }
}

/// What is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Request {
    /// The pull that is laid out.
    pub pull: PullId,
    /// The copies that are meant; none at all means those that stand in the pull, or for [`Intent::Most`] all
    /// that exist.
    ///
    /// What stands in the pull and is not meant stays where it is, and so does what is locked.
    pub copies: Vec<MoldCopy>,
    /// What they are laid out for.
    pub intent: Intent,
    /// Where chance begins.
    pub seed: Seed,
    /// How much is tried at most, all questions about a layout that does not fit included: two million steps for eight
    /// molds of 60 corners take about a second of one core natively (`benches/arrange.rs`).
    pub budget: Budget,
}

impl Request {
    /// Refuses what makes no sense for this plan.
    pub(super) fn check(&self, plan: &Plan) -> Result<(), ArrangeError> {
        if !plan.pulls.contains_key(&self.pull) {
            return Err(ArrangeError::NoSuchPull(self.pull));
        }
        let mut seen = std::collections::BTreeSet::new();
        for &(id, copy) in &self.copies {
            let mold = plan.molds.get(&id).ok_or(ArrangeError::NoSuchMold(id))?;
            if !seen.insert((id, copy)) {
                return Err(ArrangeError::Twice { mold: mold.name.clone(), copy });
            }
            if !(1..=mold.copies).contains(&copy.0) && !self.stands(plan, (id, copy)) {
                let (name, copies) = (mold.name.clone(), mold.copies);
                return Err(ArrangeError::NoSuchCopy { mold: name, copy, copies });
            }
        }
        self.check_numbers(plan)
    }

    fn stands(&self, plan: &Plan, copy: MoldCopy) -> bool {
        let pull = plan.pulls.get(&self.pull);
        pull.is_some_and(|pull| pull.placements.values().any(|p| (p.mold, p.copy) == copy))
    }

    fn check_numbers(&self, plan: &Plan) -> Result<(), ArrangeError> {
        let is_wrong = |value: f64| !value.is_finite() || value < 0.0;
        match &self.intent {
            Intent::Spread(aims) => aims
                .weights()
                .into_iter()
                .find(|(_, weight)| is_wrong(*weight))
                .map_or(Ok(()), |(aim, weight)| Err(ArrangeError::BadWeight { aim, weight })),
            Intent::Most(Worth::ByValue(values)) => {
                let wrong = values.iter().find(|(_, value)| is_wrong(**value));
                wrong.map_or(Ok(()), |(id, &value)| {
                    let mold = plan.molds.get(id).ok_or(ArrangeError::NoSuchMold(*id))?;
                    Err(ArrangeError::BadValue { mold: mold.name.clone(), value })
                })
            }
            Intent::Most(Worth::ByCount) | Intent::Fit | Intent::Tidy => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_aims_leave_nothing_out() {
        for (aim, weight) in Aims::default().weights() {
            assert!(weight > 0.0, "{aim}: {weight}");
        }
    }
}
