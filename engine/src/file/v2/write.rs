//! A plan into version 2 of the saved form.

use super::{Heights, Mold, Plan, Relief, RoundedTop, Settings, Step, Stepped};
use crate::file::v1::{self, Pull, Taper, angle};
use crate::plan;
use crate::units::Length;

impl From<&plan::Plan> for Plan {
    fn from(plan: &plan::Plan) -> Self {
        Self {
            onepull: 2,
            name: plan.name.clone(),
            machine: plan.machine.into(),
            stock: plan.stock.into(),
            settings: plan.settings.into(),
            molds: plan.molds.iter().map(|(id, mold)| Mold::new(id.0, mold)).collect(),
            pulls: plan.pulls.iter().map(|(id, pull)| Pull::new(id.0, pull)).collect(),
        }
    }
}

impl From<plan::Settings> for Settings {
    fn from(settings: plan::Settings) -> Self {
        let least_wall_mm = settings.least_wall.map(Length::to_mm);
        let v1::Settings { clearance, edge, male_height_to_width, female_height_to_width, lengths } =
            settings.into();
        Self {
            clearance,
            edge,
            male_height_to_width,
            female_height_to_width,
            least_wall_mm,
            lengths,
        }
    }
}

impl Mold {
    pub(in crate::file) fn new(id: u32, mold: &plan::Mold) -> Self {
        let (draft_deg, draft_rad) = angle::to_saved(mold.draft);
        Self {
            id,
            name: mold.name.clone(),
            footprint: (&mold.footprint).into(),
            kind: mold.kind.into(),
            height_mm: mold.height.to_mm(),
            spacer_mm: mold.spacer.to_mm(),
            relief: (&mold.relief).into(),
            draft_deg,
            draft_rad,
            turns: mold.turns.into(),
            copies: mold.copies,
            trim_mm: mold.trim.to_mm(),
        }
    }
}

impl From<&plan::Relief> for Relief {
    fn from(relief: &plan::Relief) -> Self {
        match relief {
            plan::Relief::FlatTop { edge } if *edge <= Length::ZERO => Self::FlatTop,
            plan::Relief::FlatTop { edge } => {
                Self::RoundedTop(RoundedTop { edge_mm: edge.to_mm() })
            }
            plan::Relief::Dome => Self::Dome,
            plan::Relief::Taper { top } => Self::Taper(Taper { top: *top }),
            plan::Relief::Stepped { steps } => {
                let step = |step: &plan::Step| Step {
                    height_mm: step.height.to_mm(),
                    inset_mm: step.inset.to_mm(),
                };
                Self::Stepped(Stepped { steps: steps.iter().map(step).collect() })
            }
            plan::Relief::Heights(grid) => Self::Heights(Heights::of(grid)),
        }
    }
}
