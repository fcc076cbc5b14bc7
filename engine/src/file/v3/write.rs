//! A plan into version 3 of the saved form.

use super::{Batch, Cutting, ExtraStock, Offcut, PartWanted, Plan, PullTimes};
use crate::file::{v1, v2};
use crate::plan;
use crate::units::{Length, Price, Seconds};

impl Plan {
    /// The plan in this form; `None` when an older one can say it.
    pub(in crate::file) fn of(plan: &plan::Plan) -> Option<Self> {
        let (batch, cutting) = (Batch::of(plan), Cutting::of(plan));
        if batch.is_none() && cutting.is_none() {
            return None;
        }
        Some(Self {
            onepull: 3,
            name: plan.name.clone(),
            machine: plan.machine.into(),
            stock: plan.stock.into(),
            settings: plan.settings.into(),
            molds: plan.molds.iter().map(|(id, mold)| v2::Mold::new(id.0, mold)).collect(),
            pulls: plan.pulls.iter().map(|(id, pull)| v1::Pull::new(id.0, pull)).collect(),
            batch,
            cutting,
        })
    }
}

impl Batch {
    /// The kits of a plan, when any were asked for.
    pub(in crate::file) fn of(plan: &plan::Plan) -> Option<Self> {
        (*plan.batch != plan::Batch::default()).then(|| Self::from(&*plan.batch))
    }
}

impl Cutting {
    /// How a plan's sheets are cut, when somebody has chosen.
    pub(in crate::file) fn of(plan: &plan::Plan) -> Option<Self> {
        (*plan.cutting != plan::CuttingHabits::default()).then(|| Self::from(&*plan.cutting))
    }
}

impl From<&plan::Batch> for Batch {
    fn from(batch: &plan::Batch) -> Self {
        let plan::Batch { kits, spares_percent, wanted, stocks, times, labour } = batch;
        let parts = wanted.iter().map(|(mold, part)| PartWanted {
            mold: mold.0,
            per_kit: part.per_kit,
            stock: part.stock.map(|id| id.0),
        });
        let stocks = stocks.iter().map(|(id, extra)| ExtraStock {
            id: id.0,
            colour: extra.colour.clone(),
            stock: extra.stock.into(),
        });
        Self {
            kits: *kits,
            spares_percent: *spares_percent,
            parts: parts.collect(),
            stocks: stocks.collect(),
            times: (*times).into(),
            labour_hundredths: labour.map(Price::to_hundredths),
        }
    }
}

impl From<plan::PullTimes> for PullTimes {
    fn from(times: plan::PullTimes) -> Self {
        let plan::PullTimes { load, heat, draw, cool, unload, change_over } = times;
        Self {
            load_s: load.get(),
            heat_s: heat.map(Seconds::get),
            draw_s: draw.get(),
            cool_s: cool.map(Seconds::get),
            unload_s: unload.get(),
            change_over_s: change_over.get(),
        }
    }
}

impl From<&plan::CuttingHabits> for Cutting {
    fn from(habits: &plan::CuttingHabits) -> Self {
        let plan::CuttingHabits { by, kerf, wander, least_strip, may_turn, blanks_wanted, offcuts } =
            habits;
        let offcut = |offcut: &plan::Offcut| Offcut {
            size: offcut.size.into(),
            count: offcut.count,
            stock: offcut.stock.map(|id| id.0),
        };
        Self {
            by: (*by).into(),
            kerf_mm: kerf.to_mm(),
            wander_mm: wander.to_mm(),
            least_strip_mm: least_strip.map(Length::to_mm),
            may_turn: *may_turn,
            blanks_wanted: *blanks_wanted,
            offcuts: offcuts.iter().map(offcut).collect(),
        }
    }
}
