//! What a batch of kits asks for: how many of each part, in which sheet, and what a pull takes of a maker's time.

use std::collections::BTreeMap;

use super::{MoldId, Stock, StockId};
use crate::units::{Price, Seconds};

/// The kits that are to be made, part by part.
///
/// The default asks for one kit of nothing, and a plan that holds it is saved as if it had none.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// How many kits, from 1.
    pub kits: u32,
    /// How many more parts are made than the kits need, in percent: for those that web, tear or are trimmed amiss.
    pub spares_percent: u32,
    /// What a kit holds; a mold that is not here is not wanted.
    pub wanted: BTreeMap<MoldId, PartWanted>,
    /// Sheets besides the plan's own: another plastic, gauge or colour.
    pub stocks: BTreeMap<StockId, ExtraStock>,
    /// What a pull takes of a maker's time.
    pub times: PullTimes,
    /// What an hour at the bench costs, when it is to be reckoned with.
    pub labour: Option<Price>,
}

/// How much of one part a kit holds, and what it is pulled in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PartWanted {
    /// Parts in one kit.
    pub per_kit: u32,
    /// The sheet it is pulled in; none means the plan's own.
    pub stock: Option<StockId>,
}

/// A sheet besides the plan's own.
#[derive(Clone, Debug, PartialEq)]
pub struct ExtraStock {
    /// The colour, in the maker's words; may be empty. Sheets alike in all else but this do not share a pull either.
    pub colour: String,
    /// Plastic, gauge, size of sheet and price.
    pub stock: Stock,
}

/// What one pull takes, step by step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PullTimes {
    /// To peel the film and clamp the blank.
    pub load: Seconds,
    /// To heat it; none takes the usual time of the plastic and gauge.
    pub heat: Option<Seconds>,
    /// To bring the frame down and draw.
    pub draw: Seconds,
    /// Until it is stiff enough to lift; none takes the usual time of the plastic and gauge.
    pub cool: Option<Seconds>,
    /// To unclamp it and free the molds.
    pub unload: Seconds,
    /// To set the molds out for another layout.
    pub change_over: Seconds,
}

impl Default for PullTimes {
    /// Our own choice, for a bench former worked by hand; nobody publishes such times, so measure your own.
    fn default() -> Self {
        Self {
            load: Seconds::new(60.0),
            heat: None,
            draw: Seconds::new(15.0),
            cool: None,
            unload: Seconds::new(60.0),
            change_over: Seconds::new(300.0),
        }
    }
}

impl Default for Batch {
    fn default() -> Self {
        Self {
            kits: 1,
            spares_percent: 0,
            wanted: BTreeMap::new(),
            stocks: BTreeMap::new(),
            times: PullTimes::default(),
            labour: None,
        }
    }
}

impl Batch {
    /// How many parts of `mold` are to be made: those of all kits and the spares, rounded up.
    ///
    /// ```
    /// use engine::plan::{Batch, MoldId, PartWanted};
    /// let mut batch = Batch { kits: 20, spares_percent: 5, ..Batch::default() };
    /// batch.wanted.insert(MoldId(1), PartWanted { per_kit: 2, stock: None });
    /// batch.wanted.insert(MoldId(2), PartWanted { per_kit: 1, stock: None });
    /// assert_eq!([1, 2, 3].map(|id| batch.n_wanted(MoldId(id))), [42, 21, 0]);
    /// ```
    #[must_use]
    pub fn n_wanted(&self, mold: MoldId) -> u32 {
        let per_kit = self.wanted.get(&mold).map_or(0, |part| part.per_kit);
        let kits = u64::from(per_kit) * u64::from(self.kits);
        let with_spares = (kits * (100 + u64::from(self.spares_percent))).div_ceil(100);
        u32::try_from(with_spares).unwrap_or(u32::MAX)
    }
}
