//! Version 4 of the saved form: version 3 with the sheet of each pull and the order in which pulls are made.
//!
//! A file of version 1 to 3 is of this form too, so one schema describes all. Released; never change what it writes or
//! accepts. A new key is a new version.

use serde::{Deserialize, Serialize};

use super::assemble::{Parts, PullParts};
use super::object::objects;
use super::v2::Unfit;
use super::{v1, v2, v3};
use crate::plan::{self, PullId, StockId};

/// A plan of Onepull: one machine, one stock sheet, the molds at hand and the pulls laid out with them.
///
/// Lengths are millimetres (`_mm`), angles degrees counter-clockwise (`_deg`), times seconds (`_s`), places are measured
/// from the blank's front left corner: x to the right, y away from the person.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
pub(super) struct Plan {
    /// The version of this form: 4, or less when nothing in the plan is newer.
    onepull: u32,
    /// What the plan is called.
    name: String,
    /// The former the blank is clamped in.
    machine: v1::Machine,
    /// The sheet that blanks are cut from.
    stock: v1::Stock,
    /// The rules in force and how lengths are shown.
    settings: v2::Settings,
    /// The molds at hand; each id stands once.
    molds: Vec<v2::Mold>,
    /// The layouts, one a forming cycle; each id stands once.
    pulls: Vec<Pull>,
    /// The kits that are to be made; left out when none were asked for. Since version 3.
    #[serde(skip_serializing_if = "Option::is_none")]
    batch: Option<v3::Batch>,
    /// How sheets are cut into blanks; left out when nobody has chosen. Since version 3.
    #[serde(skip_serializing_if = "Option::is_none")]
    cutting: Option<v3::Cutting>,
    /// The pulls in the order they are made, each once; left out when there is none. Since version 4.
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<Vec<Turn>>,
}

/// One blank and its layout.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct Pull {
    /// Names the pull within the plan.
    id: u32,
    /// What it is called.
    name: String,
    /// The id of the sheet it is formed in; left out for the plan's own. Since version 4.
    #[serde(skip_serializing_if = "Option::is_none")]
    stock: Option<u32>,
    /// What stands on the blank; each id stands once in its pull.
    placements: Vec<v1::Placement>,
}

/// A pull in its turn.
#[derive(Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, remote = "Self")]
struct Turn {
    /// The id of the pull.
    pull: u32,
    /// How often it is made.
    times: u32,
}

objects! { Plan, Pull, Turn }

impl Plan {
    /// The plan in this form; `None` when an older one can say it.
    pub(super) fn of(plan: &plan::Plan) -> Option<Self> {
        let has_sheets = plan.pulls.values().any(|pull| pull.stock.is_some());
        let order = (!plan.order.is_empty()).then(|| plan.order.iter().map(Turn::from).collect());
        if !has_sheets && order.is_none() {
            return None;
        }
        Some(Self {
            onepull: 4,
            name: plan.name.clone(),
            machine: plan.machine.into(),
            stock: plan.stock.into(),
            settings: plan.settings.into(),
            molds: plan.molds.iter().map(|(id, mold)| v2::Mold::new(id.0, mold)).collect(),
            pulls: plan.pulls.iter().map(|(id, pull)| Pull::new(id.0, pull)).collect(),
            batch: v3::Batch::of(plan),
            cutting: v3::Cutting::of(plan),
            order,
        })
    }

    /// The parts of the plan that this form says.
    pub(super) fn into_parts(self) -> Result<Parts, Unfit> {
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
            batch: self.batch.map(v3::Batch::into_parts),
            cutting: self.cutting.map(Into::into),
            order: self.order.into_iter().flatten().map(Into::into).collect(),
        })
    }
}

impl Pull {
    fn new(id: u32, pull: &plan::Pull) -> Self {
        let v1::Pull { id, name, placements } = v1::Pull::new(id, pull);
        Self { id, name, stock: pull.stock.map(|id| id.0), placements }
    }

    fn into_parts(self, n: usize) -> Result<PullParts, v1::TwoAngles> {
        let Self { id, name, stock, placements } = self;
        let parts = v1::Pull { id, name, placements }.into_parts(n)?;
        Ok(PullParts { stock: stock.map(StockId), ..parts })
    }
}

impl From<&plan::Turn> for Turn {
    fn from(turn: &plan::Turn) -> Self {
        Self { pull: turn.pull.0, times: turn.times }
    }
}

impl From<Turn> for plan::Turn {
    fn from(turn: Turn) -> Self {
        Self { pull: PullId(turn.pull), times: turn.times }
    }
}
