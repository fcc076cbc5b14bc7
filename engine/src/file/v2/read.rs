//! Version 2 of the saved form into the parts of a plan, which are not checked yet.

use std::sync::Arc;

use super::{Mold, Plan, Relief, Settings};
use crate::file::assemble::{Part, Parts};
use crate::file::v1::{self, TwoAngles, one_angle};
use crate::plan::{self, MoldId, Step};
use crate::units::Length;

/// Why values of the form do not go together.
#[derive(Debug)]
pub(in crate::file) enum Unfit {
    /// Degrees and radians of one angle differ.
    Angles(TwoAngles),
    /// The text of a grid is not that of so many cells.
    Grid { part: Part, columns: u32, rows: u32 },
}

impl From<TwoAngles> for Unfit {
    fn from(angles: TwoAngles) -> Self {
        Self::Angles(angles)
    }
}

impl Plan {
    /// The parts of the plan that this form says.
    pub(in crate::file) fn into_parts(self) -> Result<Parts, Unfit> {
        let molds = self.molds.into_iter().enumerate();
        let pulls = self.pulls.into_iter().enumerate();
        let pulls = pulls.map(|(n, pull)| pull.into_parts(n)).collect::<Result<_, _>>();
        Ok(Parts {
            name: self.name,
            machine: self.machine.into(),
            stock: self.stock.into(),
            settings: self.settings.into(),
            molds: molds.map(|(n, mold)| mold.into_parts(n)).collect::<Result<_, _>>()?,
            pulls: pulls?,
            batch: None,
            cutting: None,
            order: Vec::new(),
        })
    }
}

impl From<Settings> for plan::Settings {
    fn from(settings: Settings) -> Self {
        let Settings {
            clearance,
            edge,
            male_height_to_width,
            female_height_to_width,
            least_wall_mm,
            lengths,
        } = settings;
        let known =
            v1::Settings { clearance, edge, male_height_to_width, female_height_to_width, lengths };
        Self { least_wall: least_wall_mm.map(Length::mm), ..known.into() }
    }
}

impl Mold {
    pub(in crate::file) fn into_parts(self, n: usize) -> Result<(MoldId, plan::Mold), Unfit> {
        let part = Part::Mold(n);
        let mold = plan::Mold {
            name: self.name,
            footprint: self.footprint.into(),
            kind: self.kind.into(),
            height: Length::mm(self.height_mm),
            spacer: Length::mm(self.spacer_mm),
            relief: self.relief.into_model(part)?,
            draft: one_angle(self.draft_deg, self.draft_rad, part)?,
            turns: self.turns.into(),
            copies: self.copies,
            trim: Length::mm(self.trim_mm),
        };
        Ok((MoldId(self.id), mold))
    }
}

impl Relief {
    fn into_model(self, part: Part) -> Result<plan::Relief, Unfit> {
        Ok(match self {
            Self::FlatTop => plan::Relief::FLAT,
            Self::Dome => plan::Relief::Dome,
            Self::Taper(taper) => plan::Relief::Taper { top: taper.top },
            Self::RoundedTop(round) => plan::Relief::FlatTop { edge: Length::mm(round.edge_mm) },
            Self::Stepped(stepped) => {
                let step = |step: super::Step| Step {
                    height: Length::mm(step.height_mm),
                    inset: Length::mm(step.inset_mm),
                };
                plan::Relief::Stepped { steps: stepped.steps.into_iter().map(step).collect() }
            }
            Self::Heights(heights) => {
                let (columns, rows) = (heights.columns, heights.rows);
                let grid = heights.grid().ok_or(Unfit::Grid { part, columns, rows })?;
                plan::Relief::Heights(Arc::new(grid))
            }
        })
    }
}
