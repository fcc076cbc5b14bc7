//! Version 3 of the saved form into the parts of a plan, which are not checked yet.

use super::{Batch, Cutting, Offcut, PartWanted, Plan, PullTimes};
use crate::file::assemble::{BatchParts, Parts};
use crate::file::v2::Unfit;
use crate::plan::{self, MoldId, StockId};
use crate::units::{Length, Price, Seconds};

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
            batch: self.batch.map(Batch::into_parts),
            cutting: self.cutting.map(Into::into),
            order: Vec::new(),
        })
    }
}

impl Batch {
    pub(in crate::file) fn into_parts(self) -> BatchParts {
        let part = |part: PartWanted| {
            let wanted = plan::PartWanted { per_kit: part.per_kit, stock: part.stock.map(StockId) };
            (MoldId(part.mold), wanted)
        };
        let stocks = self.stocks.into_iter().map(|extra| {
            let stock = plan::ExtraStock { colour: extra.colour, stock: extra.stock.into() };
            (StockId(extra.id), stock)
        });
        BatchParts {
            bare: plan::Batch {
                kits: self.kits,
                spares_percent: self.spares_percent,
                times: self.times.into(),
                labour: self.labour_hundredths.map(Price::hundredths),
                ..plan::Batch::default()
            },
            wanted: self.parts.into_iter().map(part).collect(),
            stocks: stocks.collect(),
        }
    }
}

impl From<PullTimes> for plan::PullTimes {
    fn from(times: PullTimes) -> Self {
        Self {
            load: Seconds::new(times.load_s),
            heat: times.heat_s.map(Seconds::new),
            draw: Seconds::new(times.draw_s),
            cool: times.cool_s.map(Seconds::new),
            unload: Seconds::new(times.unload_s),
            change_over: Seconds::new(times.change_over_s),
        }
    }
}

impl From<Cutting> for plan::CuttingHabits {
    fn from(cutting: Cutting) -> Self {
        let offcut = |offcut: Offcut| plan::Offcut {
            size: offcut.size.into(),
            count: offcut.count,
            stock: offcut.stock.map(StockId),
        };
        Self {
            by: cutting.by.into(),
            kerf: Length::mm(cutting.kerf_mm),
            wander: Length::mm(cutting.wander_mm),
            least_strip: cutting.least_strip_mm.map(Length::mm),
            may_turn: cutting.may_turn,
            blanks_wanted: cutting.blanks_wanted,
            offcuts: cutting.offcuts.into_iter().map(offcut).collect(),
        }
    }
}
