//! Turns found poses into an edit, and lets the rules judge it before anybody sees it.

use std::collections::{BTreeMap, BTreeSet};

use super::measure::spare;
use super::run::Run;
use super::scene::Scene;
use super::settle::{Wish, settle};
use crate::edit::Edit;
use crate::geometry::{Pose, tolerance};
use crate::plan::{Placement, PlacementId, Plan};
use crate::rules::{Finding, ReadyMolds, Rule, Subject, check_with};
use crate::units::Angle;

/// A layout that the rules have nothing against.
pub(super) struct Judged {
    /// Nothing when nothing changes.
    pub(super) edit: Option<Edit>,
    /// What the rules find among what was not to be moved.
    pub(super) left: Vec<Finding>,
}

/// The edit that brings the bodies of a scene to `poses` and takes `off` what stands in its place, judged.
///
/// `first` is done before it: the change of settings or machine that the scene was made under. `None` when the rules
/// find something that the layout should have avoided, or the edit is refused.
pub(super) fn judged(
    plan: &Plan,
    scene: &Scene<'_>,
    (poses, off): (&[Pose], &BTreeSet<PlacementId>),
    first: Option<Edit>,
    ready: &ReadyMolds,
) -> Option<Judged> {
    let changes = Changes::new(plan, scene, poses)?;
    let ours: BTreeSet<PlacementId> = changes.ours.clone();
    let placed: BTreeSet<PlacementId> = changes.placed.keys().copied().collect();
    let edit = changes.edit(scene, off, first);
    let after = match &edit {
        Some(edit) => &plan.apply(edit).ok()?,
        None => plan,
    };
    let mut left = Vec::new();
    for finding in check_with(after, scene.pull, ready) {
        if is_ours(&finding, &ours, &placed) {
            return None;
        }
        if is_of_layout(finding.rule) {
            left.push(finding);
        }
    }
    Some(Judged { edit, left })
}

/// What changes in a pull.
struct Changes {
    moved: BTreeMap<PlacementId, Pose>,
    placed: BTreeMap<PlacementId, Placement>,
    /// What the layout answers for: all bodies that may be moved.
    ours: BTreeSet<PlacementId>,
}

impl Changes {
    fn new(plan: &Plan, scene: &Scene<'_>, poses: &[Pose]) -> Option<Self> {
        let pull = plan.pulls.get(&scene.pull)?;
        let mut free = free_ids(&pull.placements);
        let mut changes =
            Self { moved: BTreeMap::new(), placed: BTreeMap::new(), ours: BTreeSet::new() };
        for i in scene.movable() {
            let (body, pose) = (&scene.bodies[i], *poses.get(i)?);
            let id = match body.id {
                Some(id) => {
                    if body.pose != Some(pose) {
                        changes.moved.insert(id, scene.frame.world(pose));
                    }
                    id
                }
                None => {
                    let id = free.next()?;
                    let (mold, copy) = body.copy;
                    let pose = scene.frame.world(pose);
                    let placement = Placement { mold, copy, pose, locked: false };
                    changes.placed.insert(id, placement);
                    id
                }
            };
            changes.ours.insert(id);
        }
        Some(changes)
    }

    /// One step; nothing when nothing changes.
    fn edit(
        self,
        scene: &Scene<'_>,
        off: &BTreeSet<PlacementId>,
        first: Option<Edit>,
    ) -> Option<Edit> {
        let pull = scene.pull;
        let off = (!off.is_empty()).then(|| Edit::TakeOff(pull, off.clone()));
        let moved = (!self.moved.is_empty()).then_some(Edit::Move(pull, self.moved));
        let placed = (!self.placed.is_empty()).then_some(Edit::Place(pull, self.placed));
        let mut edits: Vec<Edit> = [first, off, moved, placed].into_iter().flatten().collect();
        if edits.len() > 1 { Some(Edit::All(edits)) } else { edits.pop() }
    }
}

/// Ids that no placement has: those above the highest, and when they run out those between.
fn free_ids(taken: &BTreeMap<PlacementId, Placement>) -> impl Iterator<Item = PlacementId> + '_ {
    let above = taken.keys().next_back().map_or(0, |id| id.0);
    let ids = (above.saturating_add(1)..=u32::MAX).chain(1..above).map(PlacementId);
    ids.filter(|id| !taken.contains_key(id))
}

/// Whether a finding is about where something stands.
pub(crate) const fn is_of_layout(rule: Rule) -> bool {
    match rule {
        Rule::Overlap
        | Rule::Clearance
        | Rule::Opening
        | Rule::Platen
        | Rule::Edge
        | Rule::Copies => true,
        Rule::Footprint
        | Rule::Tall
        | Rule::Draft
        | Rule::HeightToWidth
        | Rule::Texture
        | Rule::Gauge => false,
    }
}

/// Whether a layout answers for a finding: it is about where something stands that was moved or could have been,
/// or about a copy that was placed.
fn is_ours(
    finding: &Finding,
    ours: &BTreeSet<PlacementId>,
    placed: &BTreeSet<PlacementId>,
) -> bool {
    let answers = if finding.rule == Rule::Copies { placed } else { ours };
    is_of_layout(finding.rule)
        && finding.subjects.iter().any(|subject| match subject {
            Subject::Placement(id) => answers.contains(id),
            Subject::Mold(_) | Subject::Stock => false,
        })
}

/// The same layout in figures a person could type: places to a micrometre, turns to a thousandth of a degree.
///
/// That is also what a link holds, so that a layout sent as a link is still clean. What has not moved keeps its bits,
/// and where the layout is too tight for rounding it stays as it is.
pub(super) fn neat(scene: &Scene<'_>, poses: &[Pose], run: &mut Run<'_>) -> Vec<Pose> {
    /// Half a micrometre in both directions, for two bodies, and a little more.
    const ROUNDING: f64 = 0.0015;
    let is_moved = |i: usize| scene.bodies[i].pose != Some(poses[i]) && !scene.bodies[i].is_pinned;
    // A turn that a person gave is kept to the bit.
    let is_turned = |i: usize| {
        is_moved(i) && scene.bodies[i].pose.is_none_or(|pose| pose.turn != poses[i].turn)
    };
    let typed = |(i, pose): (usize, &Pose)| {
        if is_turned(i) { Pose { turn: typed_turn(pose.turn), ..*pose } } else { *pose }
    };
    let turned: Vec<Pose> = poses.iter().enumerate().map(typed).collect();
    // What stays is not pushed about for the rounding of others.
    let mut others = scene.of(|_, _| true);
    for (i, body) in others.bodies.iter_mut().enumerate() {
        body.is_pinned |= !is_moved(i);
    }
    if others.movable().next().is_none() {
        return poses.to_vec();
    }
    let wish = Wish { at: &turned, from: &turned, extra: ROUNDING };
    let Some(settled) = settle(&others, wish, run) else { return poses.to_vec() };
    let rounded: Vec<Pose> = settled
        .iter()
        .enumerate()
        .map(|(i, pose)| if is_moved(i) { scene.frame.typed(*pose) } else { *pose })
        .collect();
    let is_good = spare(scene, &rounded) >= -tolerance::SAME.to_mm() / 2.0;
    if is_good { rounded } else { poses.to_vec() }
}

fn typed_turn(turn: Angle) -> Angle {
    let thousandths = libm::round(turn.normalized().to_degrees() * 1e3);
    Angle::degrees(thousandths / 1e3).normalized()
}
