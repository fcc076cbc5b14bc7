//! Which of their molds are mine, and what the others shall be called.

use std::sync::Arc;

use super::Molds;
use crate::order;
use crate::plan::{Mold, MoldId, Placement, Plan, Pull};

/// Their ids as mine.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Known {
    /// Each of their molds: its id in my plan, or a free one for what I do not have.
    pub(super) molds: Molds,
}

impl Known {
    /// The same id and the same name or outline make the same mold; else the same name alone; what is left is new.
    pub(super) fn of(mine: &Plan, theirs: &Plan) -> Self {
        let mut known = Self::default();
        for (id, mold) in &theirs.molds {
            let own = mine.molds.get(id);
            if own.is_some_and(|own| own.name == mold.name || own.footprint == mold.footprint) {
                known.molds.insert(*id, *id);
            }
        }
        for (id, mold) in &theirs.molds {
            if let Some(own) =
                known.free_of_name(mine, mold).filter(|_| !known.molds.contains_key(id))
            {
                known.molds.insert(*id, own);
            }
        }
        let mut free = mine.free_mold_id().max(theirs.free_mold_id());
        for id in theirs.molds.keys() {
            if !known.molds.contains_key(id) {
                let is_free = !mine.molds.contains_key(id);
                known.molds.insert(*id, if is_free { *id } else { free });
                free = if is_free { free } else { MoldId(free.0.saturating_add(1)) };
            }
        }
        known
    }

    /// A mold of mine of this name that none of theirs is yet.
    fn free_of_name(&self, mine: &Plan, mold: &Mold) -> Option<MoldId> {
        let is_taken = |id: &MoldId| self.molds.values().any(|own| own == id);
        let named = |(_, own): &(&MoldId, &Arc<Mold>)| own.name == mold.name;
        mine.molds.iter().filter(named).map(|(id, _)| *id).find(|id| !is_taken(id))
    }

    /// Their placement with my name for its mold.
    pub(super) fn placement(&self, placement: &Placement) -> Placement {
        let mold = self.molds.get(&placement.mold).copied().unwrap_or(placement.mold);
        Placement { mold, ..*placement }
    }

    /// Their pull with my names for its molds.
    pub(super) fn pull(&self, pull: &Pull) -> Pull {
        let placements = pull.placements.iter().map(|(id, one)| (*id, self.placement(one)));
        Pull { placements: order::map(placements), ..Pull::new(&pull.name) }
    }
}
