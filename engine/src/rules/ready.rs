//! Molds made ready once for many checks, because a drag moves molds and does not change them.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::footprint;
use crate::geometry::{Problem, Shape, problems, tolerance};
use crate::order;
use crate::physics::Draw;
use crate::plan::{Mold, MoldId, Plan};

/// The molds of a plan made ready to be checked; a plan whose molds have changed is checked all the same.
///
/// ```
/// use engine::{plan::sample, rules::{ReadyMolds, check, check_with}};
/// let plan = sample();
/// let pull = plan.first_pull().unwrap();
/// let ready = ReadyMolds::default().renewed(&plan);
/// assert_eq!(check_with(&plan, pull, &ready), check(&plan, pull));
/// ```
#[derive(Clone, Debug, Default)]
pub struct ReadyMolds {
    molds: BTreeMap<MoldId, Arc<Ready>>,
}

impl ReadyMolds {
    /// The molds of `plan`, those that have not changed as they were made ready before.
    ///
    /// A mold that an edit has replaced by an equal one counts as changed. Cost: some 10 microseconds for each new
    /// mold of 100 corners.
    #[must_use]
    pub fn renewed(&self, plan: &Plan) -> Self {
        Self { molds: order::map(plan.molds.iter().map(|(&id, mold)| (id, self.get(id, mold)))) }
    }

    /// The footprint of a mold of `plan` about its own centre, as the rules measure it; `None` when it bounds no
    /// surface, so that nothing is measured of it, or the plan has no such mold.
    #[must_use]
    pub fn footprint(&self, plan: &Plan, mold: MoldId) -> Option<Arc<Shape>> {
        let ready = self.get(mold, plan.molds.get(&mold)?);
        ready.is_sound().then(|| Arc::clone(&ready.shape))
    }

    /// The mold made ready, or made ready now.
    pub(super) fn get(&self, id: MoldId, mold: &Arc<Mold>) -> Arc<Ready> {
        let known = self.molds.get(&id).filter(|ready| Arc::ptr_eq(&ready.mold, mold));
        known.map_or_else(|| Arc::new(Ready::new(mold)), Arc::clone)
    }
}

/// One mold made ready.
#[derive(Debug)]
pub(super) struct Ready {
    mold: Arc<Mold>,
    shape: Arc<Shape>,
    problem: Option<Problem>,
    draw: OnceLock<Option<Draw>>,
}

impl Ready {
    fn new(mold: &Arc<Mold>) -> Self {
        let region = mold.footprint.region(tolerance::MEASURE);
        let problem = footprint::first_harmful(&problems(&region));
        let shape = Arc::new(Shape::new(region));
        Self { mold: Arc::clone(mold), shape, problem, draw: OnceLock::new() }
    }

    pub(super) fn mold(&self) -> &Mold {
        &self.mold
    }

    /// The footprint about the mold's own centre.
    pub(super) fn shape(&self) -> &Shape {
        &self.shape
    }

    /// What keeps the footprint from bounding a surface.
    pub(super) const fn problem(&self) -> Option<Problem> {
        self.problem
    }

    pub(super) const fn is_sound(&self) -> bool {
        self.problem.is_none()
    }

    /// The draw of a sound mold, worked out when first asked for.
    pub(super) fn draw(&self) -> Option<Draw> {
        *self.draw.get_or_init(|| Draw::over(&self.mold, &self.shape))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::Edit;
    use crate::plan::sample;
    use crate::units::Length;

    #[test]
    fn only_a_mold_that_changed_is_made_ready_again() {
        let plan = sample();
        let before = ReadyMolds::default().renewed(&plan);
        let taller = Mold { height: Length::mm(30.0), ..(*plan.molds[&MoldId(1)]).clone() };
        let changed = plan.apply(&Edit::ChangeMold(MoldId(1), Box::new(taller))).expect("changes");
        let after = before.renewed(&changed);
        let kept: Vec<bool> =
            after.molds.iter().map(|(id, ready)| Arc::ptr_eq(ready, &before.molds[id])).collect();
        assert_eq!(kept, [false, true, true, true, true]);
    }
}
