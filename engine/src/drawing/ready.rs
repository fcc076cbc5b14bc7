//! Outlines grown once for many drawings, because a drag moves molds and does not change them.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use crate::geometry::{Region, offset, tolerance};
use crate::order;
use crate::plan::{Mold, MoldId, Plan};
use crate::rules::clearance;
use crate::units::Length;

/// The trim lines and clearance zones of a plan's molds, each grown when it is first drawn; a plan whose molds or rules
/// have changed is drawn all the same.
///
/// ```
/// use engine::{drawing::{ReadyOutlines, draw, draw_with}, plan::sample};
/// let plan = sample();
/// let pull = plan.first_pull().unwrap();
/// let ready = ReadyOutlines::default().renewed(&plan);
/// assert_eq!(draw_with(&plan, pull, &[], &ready), draw(&plan, pull, &[]));
/// ```
#[derive(Clone, Debug, Default)]
pub struct ReadyOutlines {
    trims: BTreeMap<MoldId, Arc<Grown>>,
    zones: BTreeMap<MoldId, Arc<Grown>>,
}

impl ReadyOutlines {
    /// Those of `plan`; what has not changed is kept as it was grown before.
    #[must_use]
    pub fn renewed(&self, plan: &Plan) -> Self {
        let molds = || plan.molds.iter();
        Self {
            trims: order::map(molds().map(|(&id, mold)| (id, self.trim(id, mold)))),
            zones: order::map(molds().map(|(&id, mold)| (id, self.zone(plan, id, mold)))),
        }
    }

    /// The trim line of a mold about its own centre.
    pub(super) fn trim(&self, id: MoldId, mold: &Arc<Mold>) -> Arc<Grown> {
        grown(&self.trims, id, mold, mold.trim)
    }

    /// The clearance zone of a mold about its own centre: what it asks for between itself and its like.
    pub(super) fn zone(&self, plan: &Plan, id: MoldId, mold: &Arc<Mold>) -> Arc<Grown> {
        let by = clearance(plan, id, id).unwrap_or(Length::ZERO);
        grown(&self.zones, id, mold, by)
    }
}

fn grown(
    known: &BTreeMap<MoldId, Arc<Grown>>,
    id: MoldId,
    mold: &Arc<Mold>,
    by: Length,
) -> Arc<Grown> {
    let is_it = |grown: &&Arc<Grown>| Arc::ptr_eq(&grown.mold, mold) && grown.by == by;
    known.get(&id).filter(is_it).map_or_else(|| Arc::new(Grown::new(mold, by)), Arc::clone)
}

/// A footprint grown by a length.
#[derive(Debug)]
pub(super) struct Grown {
    mold: Arc<Mold>,
    by: Length,
    regions: OnceLock<Vec<Region>>,
}

impl Grown {
    fn new(mold: &Arc<Mold>, by: Length) -> Self {
        Self { mold: Arc::clone(mold), by, regions: OnceLock::new() }
    }

    /// The grown footprint about the mold's own centre; growing may part it or join it.
    pub(super) fn regions(&self) -> &[Region] {
        self.regions.get_or_init(|| {
            let region = self.mold.footprint.region(tolerance::DRAW);
            offset(&region, self.by, tolerance::DRAW)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Focus, draw, draw_focus, draw_focus_with, draw_with};
    use crate::edit::Edit;
    use crate::plan::{PlacementId, PullId, sample};

    const PULL: PullId = PullId(1);

    #[test]
    fn what_was_grown_before_is_kept_until_the_mold_or_the_rule_changes() {
        let plan = sample();
        let ready = ReadyOutlines::default().renewed(&plan);
        let id = MoldId(1);
        let same = |a: &ReadyOutlines, b: &ReadyOutlines| {
            [Arc::ptr_eq(&a.trims[&id], &b.trims[&id]), Arc::ptr_eq(&a.zones[&id], &b.zones[&id])]
        };
        assert_eq!(same(&ready, &ready.renewed(&plan)), [true, true]);
        let mut settings = plan.settings;
        settings.clearance.factor = 2.5;
        let ruled = plan.apply(&Edit::SetSettings(settings)).expect("legal");
        assert_eq!(same(&ready, &ready.renewed(&ruled)), [true, false]);
        let taller = Mold { height: Length::mm(70.0), ..(*plan.molds[&id]).clone() };
        let changed = plan.apply(&Edit::ChangeMold(id, Box::new(taller))).expect("legal");
        assert_eq!(same(&ready, &ready.renewed(&changed)), [false, false]);
    }

    #[test]
    fn a_plan_drawn_with_what_was_ready_for_another_is_drawn_right() {
        let plan = sample();
        let stale = ReadyOutlines::default().renewed(&plan);
        let trimmed = Mold { trim: Length::mm(9.0), ..(*plan.molds[&MoldId(1)]).clone() };
        let mut settings = plan.settings;
        settings.clearance.factor = 2.5;
        let edit = Edit::All(vec![
            Edit::ChangeMold(MoldId(1), Box::new(trimmed)),
            Edit::SetSettings(settings),
        ]);
        let plan = plan.apply(&edit).expect("legal");
        assert_eq!(draw_with(&plan, PULL, &[], &stale), draw(&plan, PULL, &[]));
        let focus = Focus { moved: [PlacementId(2)].into() };
        assert_eq!(draw_focus_with(&plan, PULL, &focus, &stale), draw_focus(&plan, PULL, &focus));
    }
}
