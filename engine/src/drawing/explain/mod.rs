//! One small drawing for each thing that can be found, with its own figures: why it matters, at a glance.
//!
//! The drawings are not to scale: they show what a figure is measured from and what the sheet does there.

mod forecast;
mod plan_views;
mod sections;
mod sketch;

use super::Drawing;
use crate::drape;
use crate::plan::{Mold, MoldKind, Placement, Plan, PullId};
use crate::rules::{Finding, Measure, Rule, Subject};
use crate::units::{Length, LengthStyle};

/// A drawing that explains, and what it shows in a sentence for who does not see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagram {
    /// The marks; shapes in the roles of the board, lettering with figures in the plan's unit.
    pub drawing: Drawing,
    /// What it shows, in whole sentences; holds no word that a user wrote.
    pub says: String,
}

/// Explains what a rule has found in a pull.
///
/// `plan` and `pull` must be those it was found in; of others, figures of molds may be missing.
#[must_use]
pub fn explain(finding: &Finding, plan: &Plan, pull: PullId) -> Diagram {
    let told = Told { finding, plan, pull };
    match finding.rule {
        Rule::Footprint => plan_views::footprint(&told),
        Rule::Overlap => plan_views::overlap(&told),
        Rule::Clearance => sections::clearance(&told),
        Rule::Opening => plan_views::opening(&told),
        Rule::Platen => sections::platen(&told),
        Rule::Edge => sections::edge(&told),
        Rule::Tall => sections::tall(&told),
        Rule::Copies => plan_views::copies(&told),
        Rule::Draft => sections::draft(&told),
        Rule::HeightToWidth => sections::height_to_width(&told),
        Rule::Texture => sections::texture(&told),
        Rule::Gauge => sections::gauge(&told),
    }
}

/// Explains what a forecast warns of, with lengths in `style`.
#[must_use]
pub fn explain_forecast(finding: &drape::Finding, style: LengthStyle) -> Diagram {
    forecast::explained(finding, style)
}

/// What is to be explained, and the figures it is asked for.
struct Told<'a> {
    finding: &'a Finding,
    plan: &'a Plan,
    pull: PullId,
}

impl Told<'_> {
    const fn style(&self) -> LengthStyle {
        self.plan.settings.lengths
    }

    fn show(&self, length: Length) -> String {
        self.style().show(length)
    }

    fn measured(&self) -> String {
        shown(self.finding.measured, self.style())
    }

    fn allowed(&self) -> String {
        shown(self.finding.allowed, self.style())
    }

    /// The molds that the finding is about, in its order.
    fn molds(&self) -> Vec<&Mold> {
        let of = |subject: &Subject| {
            let id = match *subject {
                Subject::Mold(id) => id,
                Subject::Placement(id) => self.placement(id)?.mold,
                Subject::Stock => return None,
            };
            self.plan.molds.get(&id).map(AsRef::as_ref)
        };
        self.finding.subjects.iter().filter_map(of).collect()
    }

    fn placement(&self, id: crate::plan::PlacementId) -> Option<&Placement> {
        self.plan.pulls.get(&self.pull)?.placements.get(&id)
    }

    /// The height of the tallest of them, spacer included.
    fn tallest(&self) -> Option<Length> {
        let heights = self.molds().into_iter().map(Mold::standing_height);
        heights.reduce(Length::max)
    }

    fn is_female(&self) -> bool {
        self.molds().first().is_some_and(|mold| mold.kind == MoldKind::Female)
    }
}

/// A figure as it is written; nothing when there is none.
fn shown(measure: Option<Measure>, style: LengthStyle) -> String {
    match measure {
        Some(Measure::Length(length)) => style.show(length),
        Some(Measure::Angle(angle)) => {
            format!("{}\u{b0}", libm::round(angle.to_degrees() * 10.0) / 10.0)
        }
        Some(Measure::Ratio(ratio)) => format!("{ratio:.2}"),
        Some(Measure::Count(count)) => count.to_string(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests;
