//! Changes of a mold's shape and of the gauge that may help: as edits, of nothing that is locked.

use super::change::Change;
use super::gauge::STOCK_GAUGES;
use crate::edit::Edit;
use crate::plan::{Footprint, Mold, MoldId, Plan, PullId, Relief, Step, Stock, edge_most};
use crate::units::{Angle, Length};

/// By what share another gauge is another: 1 mm and .040 in are the same sheet.
const OTHER: f64 = 0.1;
/// What is left of a mold's height (our own choice, small enough that most parts bear it).
const LOWER: f64 = 0.9;
/// How much more walls lean.
const DRAFT: Angle = Angle::degrees(2.0);
/// How much rounder upright corners get, where the outline has room for it.
const ROUNDER: Length = Length::inches(0.5);
/// Radii for a gap that sheet leaves in a corner: round two walls it stays 0.29 radii off, so this takes its shape.
const RADII: f64 = 3.4;

/// The next gauge up or down that is sold and makes a difference, for the sheet that the pull is formed in.
pub(super) fn gauge(plan: &Plan, pull: PullId, up: bool) -> Option<(Change, Edit)> {
    let stock = *plan.stock_of_pull(pull);
    let own = stock.gauge;
    let to = if up {
        STOCK_GAUGES.into_iter().find(|gauge| *gauge > own * (1.0 + OTHER))
    } else {
        STOCK_GAUGES.into_iter().rfind(|gauge| *gauge < own * (1.0 - OTHER))
    }?;
    Some((Change::Gauge { to }, Edit::sheet_of_pull(plan, pull, Stock { gauge: to, ..stock })))
}

/// A tenth lower, steps and all.
pub(super) fn lower(plan: &Plan, id: MoldId) -> Option<(Change, Edit)> {
    let mold = free(plan, id)?;
    let to = mold.height * LOWER;
    let relief = match &mold.relief {
        Relief::FlatTop { edge } => Relief::FlatTop { edge: edge.min(edge_most(to, mold.draft)) },
        Relief::Stepped { steps } => {
            let lower = |step: &Step| Step { height: step.height * LOWER, ..*step };
            Relief::Stepped { steps: steps.iter().map(lower).collect() }
        }
        Relief::Dome | Relief::Taper { .. } | Relief::Heights(_) => mold.relief.clone(),
    };
    Some((Change::Lower { mold: id, to }, changed(id, Mold { height: to, relief, ..mold.clone() })))
}

/// Two degrees more draft; of a shape that has any.
pub(super) fn draft(plan: &Plan, id: MoldId) -> Option<(Change, Edit)> {
    let mold = free(plan, id)?;
    if !matches!(mold.relief, Relief::FlatTop { .. } | Relief::Stepped { .. }) {
        return None;
    }
    let to = mold.draft + DRAFT;
    Some((Change::Draft { mold: id, to }, changed(id, Mold { draft: to, ..mold.clone() })))
}

/// Rounder upright corners; of a rectangle, the only outline that has a radius.
pub(super) fn corners(plan: &Plan, id: MoldId) -> Option<(Change, Edit)> {
    let mold = free(plan, id)?;
    let (width, depth, own) = match mold.footprint {
        Footprint::Rectangle { width, depth } => (width, depth, Length::ZERO),
        Footprint::RoundedRectangle { width, depth, radius } => (width, depth, radius),
        Footprint::Circle { .. }
        | Footprint::Ellipse { .. }
        | Footprint::Polygon { .. }
        | Footprint::Outline { .. } => return None,
    };
    let shorter = width.min(depth);
    let radius = (own + ROUNDER.min(shorter / 4.0)).min(shorter / 2.0);
    let footprint = Footprint::RoundedRectangle { width, depth, radius };
    (radius > own).then(|| {
        (Change::Corners { mold: id, radius }, changed(id, Mold { footprint, ..mold.clone() }))
    })
}

/// A rounder edge between wall and level top or floor, by what closes a gap of this width.
pub(super) fn edge(plan: &Plan, id: MoldId, gap: Length) -> Option<(Change, Edit)> {
    let mold = free(plan, id)?;
    let Relief::FlatTop { edge: own } = mold.relief else { return None };
    let radius = (own + gap * RADII).min(edge_most(mold.height, mold.draft));
    let relief = Relief::FlatTop { edge: radius };
    (radius > own)
        .then(|| (Change::Edge { mold: id, radius }, changed(id, Mold { relief, ..mold.clone() })))
}

fn changed(id: MoldId, mold: Mold) -> Edit {
    Edit::ChangeMold(id, Box::new(mold))
}

/// A mold of which nothing that stands is locked: a locked one is to stay as it is, shape and all.
fn free(plan: &Plan, id: MoldId) -> Option<&Mold> {
    let standing = plan.pulls.values().flat_map(|pull| pull.placements.values());
    let is_locked = standing.into_iter().any(|placement| placement.mold == id && placement.locked);
    plan.molds.get(&id).map(|mold| &**mold).filter(|_| !is_locked)
}
