//! The bench the rules are asked at: molds made ready once, and where each placed one reaches.

use std::cell::OnceCell;

use std::sync::Arc;

use super::ready::{Ready, ReadyMolds};
use super::spacing;
use crate::geometry::{Gap, Pose, Rect, Shape, extent, gap, gap_within, is_overlapping, tolerance};
use crate::order;
use crate::plan::{Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId, Stock};
use crate::units::Length;

/// One pull with its molds made ready.
pub(super) struct Bench<'a> {
    pub(super) plan: &'a Plan,
    pub(super) pull: &'a Pull,
    pub(super) opening: Rect,
    molds: Vec<(MoldId, Arc<Ready>)>,
    standing: Vec<Standing<'a>>,
    close_pairs: OnceCell<Vec<ClosePair>>,
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
    pub(super) fn new(plan: &'a Plan, pull: PullId, ready: &ReadyMolds) -> Option<Self> {
        let pull = plan.pulls.get(&pull)?;
        let placed = order::set(pull.placements.values().map(|p| p.mold));
        let in_use = placed.into_iter().filter_map(|id| Some((id, plan.molds.get(&id)?)));
        let molds: Vec<_> = in_use.map(|(id, mold)| (id, ready.get(id, mold))).collect();
        let standing = (pull.placements.iter())
            .filter_map(|(&id, placement)| Standing::new(id, placement, plan, &molds))
            .collect();
        let opening = plan.machine.opening();
        Some(Self { plan, pull, opening, molds, standing, close_pairs: OnceCell::new() })
    }

    /// The sheet that the pull is formed in.
    pub(super) fn stock(&self) -> &'a Stock {
        self.plan.stock_of(self.pull.stock).unwrap_or(&self.plan.stock)
    }

    /// All molds that stand in the pull, each once, in id order.
    pub(super) fn molds(&self) -> impl Iterator<Item = (MoldId, &Ready)> {
        self.molds.iter().map(|(id, ready)| (*id, ready.as_ref()))
    }

    /// The molds whose footprint bounds a surface.
    pub(super) fn sound_molds(&self) -> impl Iterator<Item = (MoldId, &Ready)> {
        self.molds().filter(|(_, ready)| ready.is_sound())
    }

    /// The placed molds whose footprint bounds a surface, in id order.
    pub(super) fn standing(&self) -> &[Standing<'a>] {
        &self.standing
    }

    /// The footprint of a placed mold, about its own centre.
    pub(super) fn shape(&self, standing: &Standing<'_>) -> &Shape {
        self.molds[standing.ready].1.shape()
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

impl<'a> Standing<'a> {
    fn new(
        id: PlacementId,
        placement: &Placement,
        plan: &'a Plan,
        molds: &[(MoldId, Arc<Ready>)],
    ) -> Option<Self> {
        let mold = plan.molds.get(&placement.mold)?;
        let ready = molds.binary_search_by_key(&placement.mold, |(id, _)| *id).ok()?;
        let pose = placement.pose;
        molds[ready].1.is_sound().then(|| {
            let extent = extent(molds[ready].1.shape(), pose);
            Self { id, pose, mold, extent, ready }
        })
    }
}
