//! One pull as it happened.

use super::limits;
use super::outcome::{Outcome, Outcomes};
use crate::heat::Sides;
use crate::plan::{HeightBasis, Plan, Plastic, PullId};
use crate::rules::tightest;
use crate::units::{Length, Seconds, Temperature};

/// Names a photo, which is kept apart from the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PhotoId(pub u64);

/// How near the molds of a pull stood at the nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// Spacing over height.
    pub factor: f64,
    /// Over which height.
    pub basis: HeightBasis,
}

/// One pull as it happened.
#[derive(Clone, Debug, PartialEq)]
pub struct PullRecord {
    /// When, in local time: `2026-08-01 14:05`.
    pub at: String,
    /// What the plan was called.
    pub plan: String,
    /// What the pull was called.
    pub pull: String,
    /// What the sheet was made of.
    pub plastic: Plastic,
    /// How thick it was.
    pub gauge: Length,
    /// Which of its sides were heated.
    pub sides: Sides,
    /// The air of the room, if it is known.
    pub room: Option<Temperature>,
    /// From the heater to forming, if it was timed.
    pub heated: Option<Seconds>,
    /// From forming until it was taken off, if it was timed.
    pub cooled: Option<Seconds>,
    /// How far the sheet sagged when it was formed, if it was measured.
    pub sag: Option<Length>,
    /// How it came out.
    pub outcomes: Outcomes,
    /// How near the molds stood; `None` for fewer than two.
    pub spacing: Option<Spacing>,
    /// What else there is to say.
    pub notes: String,
    /// A photo of it.
    pub photo: Option<PhotoId>,
    /// How often it was changed since it was logged.
    pub revision: u32,
}

impl PullRecord {
    /// A pull of a plan that begins now; nothing is said yet of how it goes.
    #[must_use]
    pub fn begun(at: &str, plan: &Plan, pull: PullId, sides: Sides) -> Self {
        let stock = plan.stock_of_pull(pull);
        let name = plan.pulls.get(&pull).map(|pull| pull.name.clone());
        Self {
            at: at.to_owned(),
            plan: plan.name.clone(),
            pull: name.unwrap_or_default(),
            plastic: stock.plastic,
            gauge: stock.gauge,
            sides,
            room: None,
            heated: None,
            cooled: None,
            sag: None,
            outcomes: Outcomes::new(),
            spacing: spacing_of(plan, pull),
            notes: String::new(),
            photo: None,
            revision: 0,
        }
    }

    /// True when it came out so.
    #[must_use]
    pub fn is(&self, outcome: Outcome) -> bool {
        self.outcomes.contains_key(&outcome)
    }

    /// True when somebody said how it came out, and the heat was right: only such pulls say when a sheet is ready and
    /// what spacing does, because a cold sheet does not web and a scorched one webs anywhere (common practice).
    #[must_use]
    pub fn is_heated_well(&self) -> bool {
        !self.outcomes.is_empty() && !self.is(Outcome::Cold) && !self.is(Outcome::Scorched)
    }
}

/// How near the molds of a pull stand, as a log remembers it; `None` when there are fewer than two.
#[must_use]
pub fn spacing_of(plan: &Plan, pull: PullId) -> Option<Spacing> {
    let factor = tightest(plan, pull)?.min(limits::SPACING_MOST);
    Some(Spacing { factor, basis: plan.settings.clearance.basis })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::Edit;
    use crate::plan::{Batch, ExtraStock, Stock, StockId, sample};

    #[test]
    fn a_pull_begins_with_what_the_plan_knows() {
        let plan = sample();
        let record = PullRecord::begun("2026-08-01 14:05", &plan, PullId(1), Sides::One);
        assert_eq!((record.plan.as_str(), record.gauge), ("Tide-pool kit", plan.stock.gauge));
        let spacing = record.spacing.expect("several molds");
        // The sample has one gap below its factor of 1.75.
        assert!(spacing.factor > 0.5 && spacing.factor < 1.75, "{spacing:?}");
        assert!(!record.is_heated_well(), "nobody has said how it went");
    }

    #[test]
    fn a_pull_in_another_sheet_begins_with_that_sheet() {
        let stock = Stock { plastic: Plastic::Pvc, gauge: Length::mm(0.75), ..sample().stock };
        let red = ExtraStock { colour: "red".to_owned(), stock };
        let batch = Batch { stocks: [(StockId(1), red)].into(), ..Batch::default() };
        let edits =
            [Edit::SetBatch(Box::new(batch)), Edit::SetPullStock(PullId(1), Some(StockId(1)))];
        let plan = sample().apply(&Edit::All(edits.into())).expect("fits");
        let record = PullRecord::begun("2026-08-01 14:05", &plan, PullId(1), Sides::One);
        assert_eq!((record.plastic, record.gauge), (Plastic::Pvc, Length::mm(0.75)));
    }
}
