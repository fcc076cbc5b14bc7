//! Moves that were tried for the whole layout: each with what it would do, by the same solver.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use super::change::Change;
use super::{DrapeError, Forecast, Progress, Settings, Why, forecast};
use crate::edit::Edit;
use crate::geometry::{Point, Pose, Vec2};
use crate::plan::{MoldKind, Placement, PlacementId, Plan, Pull, PullId, Turns};
use crate::rules::{Severity, check};
use crate::units::{Angle, Area, Length};
use crate::watch::Watch;

/// How far molds are moved: half an inch.
pub(super) const STEP: Length = Length::inches(0.5);
/// The net for trying is so many times coarser.
pub(super) const COARSER: f64 = 1.6;
/// Changes tried at most.
const MOST: usize = 8;
/// A change counts as better from this share on; less than the coarse net can tell.
pub(super) const BETTER: f64 = 0.03;

/// How a layout does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The thinnest wall over any mold.
    pub thinnest: Length,
    /// See [`Forecast::web_index`].
    pub web_index: f64,
    /// The surface of all surplus sheet.
    pub folded: Area,
}

/// A change that was tried and helps.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What it does.
    pub change: Change,
    /// The same as an edit: one step to undo.
    pub edit: Edit,
    /// How the layout does now, on the net that the change was tried on.
    pub before: Measured,
    /// How it would do.
    pub after: Measured,
}

impl Advice {
    /// What it does and what it would bring, in a sentence: "1/2 in farther apart raises …".
    #[must_use]
    pub fn words(&self, plan: &Plan, pull: PullId) -> String {
        let style = plan.settings.lengths;
        let gain = if self.thins_less() {
            let [from, to] = [self.before, self.after].map(|one| style.show_gauge(one.thinnest));
            format!("raises the thinnest wall from {from} to {to}")
        } else {
            "leaves less sheet that webs".to_owned()
        };
        format!("{} {gain}.", self.change.words(plan, pull))
    }

    fn thins_less(&self) -> bool {
        self.after.thinnest > self.before.thinnest * (1.0 + BETTER)
    }

    fn helps(&self) -> bool {
        let is_thinner = self.after.thinnest < self.before.thinnest * (1.0 - BETTER);
        let spans_less = self.after.web_index < self.before.web_index - BETTER;
        !is_thinner && (self.thins_less() || spans_less)
    }
}

/// Changes that help, the best first: molds moved apart or off the clamp, turned, swapped.
///
/// Only changes are tried that the rules have no more against than they have now. Cost: up to nine forecasts on a net
/// 1.6 times coarser, each about a quarter of a forecast.
///
/// # Errors
/// As for [`forecast()`].
pub fn advice(
    plan: &Plan,
    pull: PullId,
    told: &Forecast,
    settings: &Settings,
    watch: &mut dyn Watch<Progress>,
) -> Result<Vec<Advice>, DrapeError> {
    let layout = plan.pulls.get(&pull).ok_or(DrapeError::NoSuchPull(pull))?;
    let coarse = Settings { mesh: (settings.mesh * COARSER).min(Settings::MESH.1), ..*settings };
    let tries = tries(plan, pull, (layout, told));
    let count = f64::from(u32::try_from(tries.len() + 1).unwrap_or(u32::MAX));
    let mut done = 0.0;
    let mut tried = |plan: &Plan| {
        let mut part = |progress: &Progress| -> ControlFlow<()> {
            watch.tell(&Progress { share: (done + progress.share) / count, ..*progress })
        };
        let measured = forecast(plan, pull, &coarse, &mut part).map(|told| measured(&told));
        done += 1.0;
        measured
    };
    if tries.is_empty() {
        return Ok(Vec::new());
    }
    let before = tried(plan)?;
    let mut advice = Vec::new();
    for (change, edit, after) in tries {
        let one = Advice { change, edit, before, after: tried(&after)? };
        if one.helps() {
            advice.push(one);
        }
    }
    advice.sort_by(|a, b| {
        let thicker = b.after.thinnest.to_mm().total_cmp(&a.after.thinnest.to_mm());
        thicker.then(a.after.web_index.total_cmp(&b.after.web_index))
    });
    Ok(advice)
}

fn measured(told: &Forecast) -> Measured {
    let ratio = told.thinnest_kept().map_or(told.thinnest.ratio, |(_, spot)| spot.ratio);
    Measured { thinnest: told.thickness(ratio), web_index: told.web_index, folded: told.folded }
}

/// How much the rules have against a pull that is as bad as this or worse.
pub(super) fn troubles(plan: &Plan, pull: PullId, least: Severity) -> usize {
    check(plan, pull).iter().filter(|finding| finding.severity >= least).count()
}

/// Changes that make sense, with the plan as it would be.
fn tries(plan: &Plan, pull: PullId, of: (&Pull, &Forecast)) -> Vec<(Change, Edit, Plan)> {
    let most = troubles(plan, pull, Severity::Caution);
    let mut tries = Vec::new();
    for (change, poses) in changes(plan, of) {
        let edit = Edit::Move(pull, poses);
        let Ok(after) = plan.apply(&edit) else { continue };
        if tries.len() < MOST && troubles(&after, pull, Severity::Caution) <= most {
            tries.push((change, edit, after));
        }
    }
    tries
}

/// The two molds that suffer most, each with what to do about it.
fn changes(
    plan: &Plan,
    (layout, told): (&Pull, &Forecast),
) -> Vec<(Change, BTreeMap<PlacementId, Pose>)> {
    let mut worst: Vec<(PlacementId, f64, Why)> =
        told.molds.iter().map(|(id, o)| (*id, o.thinnest.ratio, o.thinnest.why)).collect();
    worst.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    let mut pairs: Vec<(PlacementId, PlacementId)> = Vec::new();
    let webbed = told.webs.iter().filter_map(|web| Some((*web.molds.first()?, *web.molds.get(1)?)));
    for (a, b) in webbed.take(2) {
        pairs.push((a.min(b), a.max(b)));
    }
    for (id, _, why) in worst.iter().take(2) {
        let nearest = nearest(layout, *id);
        let other = if let Why::Between(other) = why { Some(*other) } else { nearest };
        pairs.extend(other.map(|other| ((*id).min(other), (*id).max(other))));
    }
    pairs.sort_unstable();
    pairs.dedup();
    let mut changes = Vec::new();
    for (first, other) in pairs {
        changes.extend(apart(layout, (first, other), STEP));
    }
    for (id, _, _) in worst.iter().take(2) {
        changes.extend(from_clamp(plan, layout, *id));
        changes.extend(turn(plan, layout, *id));
    }
    if let Some((first, _, _)) = worst.first() {
        changes.extend(swaps(layout, *first));
    }
    changes
}

pub(super) type Moves = (Change, BTreeMap<PlacementId, Pose>);

fn free(layout: &Pull, id: PlacementId) -> Option<&Placement> {
    layout.placements.get(&id).filter(|placement| !placement.locked)
}

pub(super) fn nearest(layout: &Pull, id: PlacementId) -> Option<PlacementId> {
    let at = layout.placements.get(&id)?.pose.at;
    let others = layout.placements.iter().filter(|(other, _)| **other != id);
    let far = |placement: &Placement| placement.pose.at.distance(at);
    others.min_by(|a, b| far(a.1).total_cmp(&far(b.1))).map(|(id, _)| *id)
}

/// Both moved by half, or the one that may be moved by the whole.
pub(super) fn apart(
    layout: &Pull,
    (first, other): (PlacementId, PlacementId),
    by: Length,
) -> Option<Moves> {
    let (a, b) = (layout.placements.get(&first)?, layout.placements.get(&other)?);
    let way = b.pose.at - a.pose.at;
    let length = way.length();
    if length <= 0.0 || (a.locked && b.locked) {
        return None;
    }
    let step = way * (by.to_mm() / length);
    let shares = match (a.locked, b.locked) {
        (false, false) => (-0.5, 0.5),
        (true, _) => (0.0, 1.0),
        (_, true) => (-1.0, 0.0),
    };
    let moved = [(first, a, shares.0), (other, b, shares.1)].into_iter();
    let moved = moved.filter(|(_, placement, _)| !placement.locked);
    let poses = moved.map(|(id, placement, share)| (id, placement.pose.moved(step * share)));
    Some((Change::Apart { first, other, by }, poses.collect()))
}

pub(super) fn from_clamp(plan: &Plan, layout: &Pull, mold: PlacementId) -> Option<Moves> {
    let placement = free(layout, mold)?;
    let (opening, at) = (plan.machine.opening(), placement.pose.at);
    let step = STEP.to_mm();
    let ways = [
        (at.x - opening.min.x, Vec2::new(step, 0.0)),
        (opening.max.x - at.x, Vec2::new(-step, 0.0)),
        (at.y - opening.min.y, Vec2::new(0.0, step)),
        (opening.max.y - at.y, Vec2::new(0.0, -step)),
    ];
    let (_, way) = ways.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
    let poses = BTreeMap::from([(mold, placement.pose.moved(way))]);
    Some((Change::FromClamp { mold, by: STEP }, poses))
}

pub(super) fn turn(plan: &Plan, layout: &Pull, mold: PlacementId) -> Option<Moves> {
    let placement = free(layout, mold)?;
    let model = plan.molds.get(&placement.mold)?;
    if model.turns == Turns::Fixed || model.kind == MoldKind::Female {
        return None;
    }
    let turn = (placement.pose.turn + Angle::degrees(90.0)).normalized();
    let poses = BTreeMap::from([(mold, Pose { turn, ..placement.pose })]);
    Some((Change::Turn { mold }, poses))
}

/// Swapped with each other mold, the nearest to the middle of the layout first.
fn swaps(layout: &Pull, first: PlacementId) -> Vec<Moves> {
    let Some(one) = free(layout, first) else { return Vec::new() };
    let places: Vec<Vec2> = layout.placements.values().map(|p| p.pose.at.to_vec2()).collect();
    let count = f64::from(u32::try_from(places.len()).unwrap_or(u32::MAX));
    let sum = places.into_iter().fold(Vec2::ZERO, |sum, at| sum + at) * (1.0 / count);
    let middle = Point::new(sum.x, sum.y);
    let others = layout.placements.iter().filter(|(id, p)| **id != first && !p.locked);
    let mut others: Vec<(PlacementId, &Placement)> = others.map(|(id, p)| (*id, p)).collect();
    others.retain(|(_, placement)| placement.mold != one.mold);
    let far = |placement: &Placement| placement.pose.at.distance(middle);
    others.sort_by(|a, b| far(a.1).total_cmp(&far(b.1)).then(a.0.cmp(&b.0)));
    let swap = |(other, placement): (PlacementId, &Placement)| {
        let there = Pose { at: placement.pose.at, ..one.pose };
        let back = Pose { at: one.pose.at, ..placement.pose };
        (Change::Swap { first, other }, BTreeMap::from([(first, there), (other, back)]))
    };
    others.into_iter().take(2).map(swap).collect()
}
