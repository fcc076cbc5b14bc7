//! What a plan that came back is different in, each difference an edit of its own that can be taken or left.
//!
//! A link carries ids, so what a collaborator moved is known again. It also rounds, so a plan is not compared as it is
//! but as a link would carry it: what only the rounding changed is no difference, and what is taken is taken from theirs.

mod change;
mod known;
mod words;

#[cfg(test)]
mod tests;

pub use change::{Change, Changes, What};

use std::collections::BTreeMap;

use crate::file::{LinkError, link, unlink};
use crate::geometry::Pose;
use crate::order;
use crate::plan::{Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId};
use crate::units::Angle;
use known::Known;

/// Places and turns nearer than this are one, in millimetres and degrees: half of what a link tells apart.
const SAME: f64 = 6e-4;

/// What is different in `theirs`, which has one pull as every link has, from `mine`.
///
/// The way lengths are shown is the reader's own business and no difference. **Cost**: a link made and read.
///
/// # Errors
/// Says why `mine` cannot be put into a link, which is what it would be compared as.
pub fn changes(mine: &Plan, theirs: &Plan) -> Result<Changes, LinkError> {
    let pull = theirs.first_pull().unwrap_or(PullId(1));
    // A pull that is not in mine is held against one in my own sheet, since a link carries the sheet of its pull.
    let own = || mine.pulls.iter().find(|(_, one)| one.stock.is_none()).map(|(id, _)| *id);
    let sent = mine.pulls.contains_key(&pull).then_some(pull);
    let sent = sent.or_else(own).or_else(|| mine.first_pull());
    let carried = unlink(&link(mine, sent.unwrap_or(pull))?)?;
    let known = Known::of(mine, theirs);
    let mut list = Vec::new();
    whole(&mut list, (mine, &carried), theirs);
    molds(&mut list, (mine, &carried), theirs, &known);
    let theirs_pull = theirs.pulls.get(&pull);
    match (mine.pulls.get(&pull), carried.pulls.get(&pull), theirs_pull) {
        (Some(mine), Some(carried), Some(theirs)) => {
            layout(&mut list, (mine, carried), theirs, &known);
        }
        (_, _, Some(theirs)) => list.push(Change::new(What::PullAdded(known.pull(theirs)))),
        (_, _, None) => {}
    }
    Ok(Changes { pull, list })
}

/// The name, the machine, the stock and the rules.
fn whole(list: &mut Vec<Change>, (mine, carried): (&Plan, &Plan), theirs: &Plan) {
    if carried.name != theirs.name {
        list.push(Change::new(What::Name(theirs.name.clone())));
    }
    if carried.machine != theirs.machine {
        list.push(Change::new(What::Machine(theirs.machine)));
    }
    if carried.stock != theirs.stock {
        list.push(Change::new(What::Stock(theirs.stock)));
    }
    let mut settings = theirs.settings;
    settings.lengths = carried.settings.lengths;
    if carried.settings != settings {
        settings.lengths = mine.settings.lengths;
        list.push(Change::new(What::Settings(settings)));
    }
}

fn molds(list: &mut Vec<Change>, (mine, carried): (&Plan, &Plan), theirs: &Plan, known: &Known) {
    for (id, mold) in &theirs.molds {
        let Some(to) = known.molds.get(id) else { continue };
        match (mine.molds.get(to), carried.molds.get(to)) {
            (Some(own), Some(carried)) if carried != mold => {
                let merged = merged(own, carried, mold);
                list.push(Change::new(What::MoldChanged(*to, Box::new(merged))));
            }
            (Some(_), _) => {}
            (None, _) => {
                list.push(Change::new(What::MoldAdded(*to, Box::new(Mold::clone(mold)))));
            }
        }
    }
    for id in mine.molds.keys() {
        if !known.molds.values().any(|to| to == id) {
            // It may as well have been added here since: then nobody wants it gone.
            list.push(Change { is_usual: false, ..Change::new(What::MoldRemoved(*id)) });
        }
    }
}

/// What of their mold differs from what a link carried, on top of my own, which the link may have made coarser.
fn merged(own: &Mold, carried: &Mold, theirs: &Mold) -> Mold {
    let mut merged = own.clone();
    let Mold { name, footprint, kind, height, spacer, relief, draft, turns, copies, trim } = theirs;
    macro_rules! take {
        ($($field:ident),*) => {$(
            if carried.$field != *$field {
                merged.$field = $field.clone();
            }
        )*};
    }
    take!(name, footprint, kind, height, spacer, relief, draft, turns, copies, trim);
    merged
}

fn layout(list: &mut Vec<Change>, (mine, carried): (&Pull, &Pull), theirs: &Pull, known: &Known) {
    if carried.name != theirs.name {
        list.push(Change::new(What::PullName(theirs.name.clone())));
    }
    let same = matched(carried, theirs, known);
    let mut free = mine.free_placement_id().max(theirs.free_placement_id());
    for (id, placement) in &theirs.placements {
        let placement = known.placement(placement);
        let own = same.get(id).and_then(|own| Some((*own, carried.placements.get(own)?)));
        let Some((own, carried)) = own else {
            let is_taken = mine.placements.contains_key(id);
            list.push(Change::new(What::Added(if is_taken { free } else { *id }, placement)));
            free = if is_taken { PlacementId(free.0.saturating_add(1)) } else { free };
            continue;
        };
        if !is_there(carried.pose, placement.pose) {
            let from = mine.placements.get(&own).map_or(carried.pose, |own| own.pose);
            list.push(Change::new(What::Moved { id: own, from, to: placement.pose }));
        }
        if carried.locked != placement.locked {
            list.push(Change::new(What::Locked(own, placement.locked)));
        }
    }
    let stands = |id: &&PlacementId| same.values().any(|own| own == *id);
    let gone = mine.placements.keys().filter(|id| !stands(id));
    list.extend(gone.map(|id| Change::new(What::Removed(*id))));
}

/// Which of their placements is which of mine: by its number, else by the copy of the mold, of which there is one.
fn matched(mine: &Pull, theirs: &Pull, known: &Known) -> BTreeMap<PlacementId, PlacementId> {
    let mut same = BTreeMap::new();
    let mut left = order::map(mine.placements.iter().map(|(id, placement)| (*id, placement)));
    for by_number in [true, false] {
        for (id, placement) in &theirs.placements {
            let placement = known.placement(placement);
            let is_own = |(own, standing): &(&PlacementId, &&Placement)| {
                (!by_number || *own == id) && is_one(standing, &placement)
            };
            if same.contains_key(id) {
                continue;
            }
            let own = left.iter().find(is_own).map(|(own, _)| *own);
            if let Some(own) = own {
                left.remove(&own);
                same.insert(*id, own);
            }
        }
    }
    same
}

/// The same mold in the same copy, wherever it stands.
fn is_one(one: &Placement, other: &Placement) -> bool {
    (one.mold, one.copy) == (other.mold, other.copy)
}

fn is_there(one: Pose, other: Pose) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SAME;
    near(one.at.x, other.at.x) && near(one.at.y, other.at.y) && turned(one, other) <= SAME
}

/// The turn between two poses, in degrees, the short way.
fn turned(one: Pose, other: Pose) -> f64 {
    let turn: Angle = (other.turn - one.turn).normalized();
    let degrees = turn.to_degrees();
    degrees.min(360.0 - degrees)
}

/// Molds of theirs by their ids, as mine are called.
type Molds = BTreeMap<MoldId, MoldId>;
