//! The bench the rules are asked at: molds made ready once, and where each placed one reaches.

use std::cell::OnceCell;

use super::{footprint, spacing};
use crate::geometry::{
    Gap, Pose, Problem, Rect, Shape, extent, gap, gap_within, is_overlapping, problems, tolerance,
};
use crate::plan::{Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId};
use crate::units::Length;

/// One pull with its molds made ready.
pub(super) struct Bench<'a> {
    pub(super) plan: &'a Plan,
    pub(super) pull: &'a Pull,
    pub(super) opening: Rect,
    molds: Vec<Ready<'a>>,
    standing: Vec<Standing<'a>>,
    close_pairs: OnceCell<Vec<ClosePair>>,
}

/// A mold that stands in the pull.
pub(super) struct Ready<'a> {
    pub(super) id: MoldId,
    pub(super) mold: &'a Mold,
    /// Its footprint about its own centre.
    pub(super) shape: Shape,
    /// What keeps the footprint from bounding a surface.
    pub(super) problems: Vec<Problem>,
}

/// A placed mold of sound footprint.
pub(super) struct Standing<'a> {
    pub(super) id: PlacementId,
    pub(super) pose: Pose,
    pub(super) mold: &'a Mold,
    /// The smallest upright rectangle round it on the blank.
    pub(super) extent: Rect,
    ready: usize,
}

/// Two placed molds that overlap or stand closer than their clearance.
pub(super) struct ClosePair {
    pub(super) ids: [PlacementId; 2],
    pub(super) gap: Gap,
    pub(super) allowed: Length,
    pub(super) is_overlapping: bool,
}

impl<'a> Bench<'a> {
    /// The bench of a pull; `None` when the plan has no such pull.
    ///
    /// A placement of a mold that the plan does not have is left out: no edit lets one in.
    pub(super) fn new(plan: &'a Plan, pull: PullId) -> Option<Self> {
        let pull = plan.pulls.get(&pull)?;
        let placed = |id: &MoldId| pull.placements.values().any(|p| p.mold == *id);
        let in_use = plan.molds.iter().filter(|(id, _)| placed(id));
        let molds: Vec<Ready<'_>> = in_use.map(|(&id, mold)| Ready::new(id, mold)).collect();
        let standing = (pull.placements.iter())
            .filter_map(|(&id, placement)| Standing::new(id, placement, &molds))
            .collect();
        let opening = plan.machine.opening();
        Some(Self { plan, pull, opening, molds, standing, close_pairs: OnceCell::new() })
    }

    /// All molds that stand in the pull, each once, in id order.
    pub(super) fn molds(&self) -> &[Ready<'a>] {
        &self.molds
    }

    /// The molds whose footprint bounds a surface.
    pub(super) fn sound_molds(&self) -> impl Iterator<Item = &Ready<'a>> {
        self.molds.iter().filter(|ready| ready.is_sound())
    }

    /// The placed molds whose footprint bounds a surface, in id order.
    pub(super) fn standing(&self) -> &[Standing<'a>] {
        &self.standing
    }

    /// The footprint of a placed mold, about its own centre.
    pub(super) fn shape(&self, standing: &Standing<'_>) -> &Shape {
        &self.molds[standing.ready].shape
    }

    /// The pairs that overlap or stand closer than their clearance; measured when first asked for.
    pub(super) fn close_pairs(&self) -> &[ClosePair] {
        self.close_pairs.get_or_init(|| {
            let pairs = self.standing.iter().enumerate().flat_map(|(i, one)| {
                self.standing[i + 1..].iter().filter_map(|other| self.close_pair(one, other))
            });
            pairs.collect()
        })
    }

    fn close_pair(&self, one: &Standing<'a>, other: &Standing<'a>) -> Option<ClosePair> {
        let allowed = spacing::between(&self.plan.settings, one.mold, other.mold);
        if Length::mm(one.extent.distance(other.extent)) > allowed {
            return None;
        }
        let (a, b) = (self.shape(one), self.shape(other));
        let gap = gap_within(a, one.pose, b, other.pose, allowed - tolerance::SAME)?;
        let is_touching = gap.distance <= tolerance::SAME;
        let is_overlapping = is_touching && is_overlapping(a, one.pose, b, other.pose);
        Some(ClosePair { ids: [one.id, other.id], gap, allowed, is_overlapping })
    }

    /// The gap between two placed molds, however far apart.
    pub(super) fn gap(&self, one: &Standing<'_>, other: &Standing<'_>) -> Gap {
        gap(self.shape(one), one.pose, self.shape(other), other.pose)
    }
}

impl<'a> Ready<'a> {
    fn new(id: MoldId, mold: &'a Mold) -> Self {
        let region = mold.footprint.region(tolerance::MEASURE);
        let problems = problems(&region);
        Self { id, mold, shape: Shape::new(region), problems }
    }

    /// The problem that keeps the footprint from bounding a surface.
    pub(super) fn first_problem(&self) -> Option<Problem> {
        footprint::first_harmful(&self.problems)
    }

    fn is_sound(&self) -> bool {
        self.first_problem().is_none()
    }
}

impl<'a> Standing<'a> {
    fn new(id: PlacementId, placement: &Placement, molds: &[Ready<'a>]) -> Option<Self> {
        let ready = molds.binary_search_by_key(&placement.mold, |ready| ready.id).ok()?;
        let Ready { mold, shape, .. } = &molds[ready];
        let pose = placement.pose;
        molds[ready].is_sound().then(|| {
            let extent = extent(shape, pose);
            Self { id, pose, mold, extent, ready }
        })
    }
}
