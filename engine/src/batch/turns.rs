//! What the order of pulls in a plan makes, held against what the batch wants.

use std::collections::BTreeMap;

use super::Made;
use crate::plan::{MoldId, Plan};

/// The parts of which the order in a plan makes fewer than the batch wants; none when the plan has no order.
///
/// A layout may have been changed since the order was taken into the plan, and this is what tells it.
///
/// ```
/// use engine::batch::short_parts;
/// use engine::plan::sample;
/// assert!(short_parts(&sample()).is_empty());
/// ```
#[must_use]
pub fn short_parts(plan: &Plan) -> BTreeMap<MoldId, Made> {
    if plan.order.is_empty() {
        return BTreeMap::new();
    }
    let wanted = plan.batch.wanted.iter().filter_map(|(&mold, part)| {
        let wanted = plan.batch.n_wanted(mold);
        let made = plan.order.iter().map(|turn| {
            let pull = plan.pulls.get(&turn.pull).filter(|pull| pull.stock == part.stock);
            let standing = pull.into_iter().flat_map(|pull| pull.placements.values());
            let here = standing.filter(|placement| placement.mold == mold).count();
            u64::try_from(here).unwrap_or(0) * u64::from(turn.times)
        });
        let made: u64 = made.sum();
        (made < u64::from(wanted)).then_some((mold, Made { wanted, made }))
    });
    wanted.collect()
}
