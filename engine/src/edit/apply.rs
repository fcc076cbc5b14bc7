//! Applies an edit to a plan, or refuses it whole.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{Edit, EditError, batch, check};
use crate::geometry::Pose;
use crate::plan::{Batch, Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId, limits};

/// The plan after `edit`; the given one is left as it is.
///
/// # Errors
/// Says what of the edit makes no sense here, with the value and the limit.
pub fn apply(plan: &Plan, edit: &Edit) -> Result<Plan, EditError> {
    let mut next = plan.clone();
    change(&mut next, edit)?;
    Ok(next)
}

/// Changes `plan` in place; on an error the plan may be half changed and must be thrown away.
fn change(plan: &mut Plan, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::Rename(name) => plan.name = check::name(name)?,
        Edit::SetMachine(machine) => plan.machine = check::machine(*machine)?,
        Edit::SetStock(stock) => plan.stock = check::stock(*stock)?,
        Edit::SetSettings(settings) => plan.settings = check::settings(*settings)?,
        Edit::SetBatch(batch) => return set_batch(plan, batch),
        Edit::SetCutting(habits) => plan.cutting = Arc::new(batch::cutting(plan, habits)?),
        Edit::AddMold(id, mold) => return add_mold(plan, *id, mold),
        Edit::ChangeMold(id, mold) => return change_mold(plan, *id, mold),
        Edit::RemoveMold(id) => return remove_mold(plan, *id),
        Edit::AddPull(id, pull) => return add_pull(plan, *id, pull),
        Edit::RenamePull(id, name) => pull_mut(plan, *id)?.name = check::name(name)?,
        Edit::SetPullStock(id, stock) => {
            batch::known(&plan.batch, *stock)?;
            pull_mut(plan, *id)?.stock = *stock;
        }
        Edit::RemovePull(id) => return remove_pull(plan, *id),
        Edit::Place(pull, placements) => return place(plan, *pull, placements),
        Edit::Move(pull, poses) => return move_to(plan, *pull, poses),
        Edit::Lock(pull, ids, locked) => return lock(plan, *pull, ids, *locked),
        Edit::TakeOff(pull, ids) => return take_off(plan, *pull, ids),
        Edit::SetOrder(order) => plan.order = Arc::new(batch::order(plan, order)?),
        Edit::All(edits) => return edits.iter().try_for_each(|edit| change(plan, edit)),
    }
    Ok(())
}

/// An order for other kits would be pulled in good faith, and make too few parts or too many.
fn set_batch(plan: &mut Plan, batch: &Batch) -> Result<(), EditError> {
    let next = batch::batch(plan, batch)?;
    let kits = |of: &Batch| (of.kits, of.spares_percent, of.wanted.clone());
    if !plan.order.is_empty() && kits(&plan.batch) != kits(&next) {
        plan.order = Arc::default();
    }
    plan.batch = Arc::new(next);
    Ok(())
}

fn add_mold(plan: &mut Plan, id: MoldId, mold: &Mold) -> Result<(), EditError> {
    if plan.molds.contains_key(&id) {
        return Err(EditError::MoldExists(id));
    }
    check::count("molds", plan.molds.len() + 1, limits::MOLDS)?;
    plan.molds.insert(id, Arc::new(check::mold(mold)?));
    check::plan_size(plan)
}

fn change_mold(plan: &mut Plan, id: MoldId, mold: &Mold) -> Result<(), EditError> {
    let place = plan.molds.get_mut(&id).ok_or(EditError::NoSuchMold(id))?;
    *place = Arc::new(check::mold(mold)?);
    check::plan_size(plan)
}

fn remove_mold(plan: &mut Plan, id: MoldId) -> Result<(), EditError> {
    plan.molds.remove(&id).ok_or(EditError::NoSuchMold(id))?;
    if plan.batch.wanted.contains_key(&id) {
        Arc::make_mut(&mut plan.batch).wanted.remove(&id);
    }
    for pull in plan.pulls.values_mut() {
        if pull.placements.values().any(|p| p.mold == id) {
            Arc::make_mut(pull).placements.retain(|_, p| p.mold != id);
        }
    }
    Ok(())
}

fn add_pull(plan: &mut Plan, id: PullId, pull: &Pull) -> Result<(), EditError> {
    if plan.pulls.contains_key(&id) {
        return Err(EditError::PullExists(id));
    }
    check::count("pulls", plan.pulls.len() + 1, limits::PULLS)?;
    batch::known(&plan.batch, pull.stock)?;
    let bare = Pull { stock: pull.stock, ..Pull::new(&check::name(&pull.name)?) };
    plan.pulls.insert(id, Arc::new(bare));
    place(plan, id, &pull.placements)
}

fn remove_pull(plan: &mut Plan, id: PullId) -> Result<(), EditError> {
    if !plan.pulls.contains_key(&id) {
        return Err(EditError::NoSuchPull(id));
    }
    if plan.pulls.len() == 1 {
        return Err(EditError::LastPull(id));
    }
    plan.pulls.remove(&id);
    if plan.order.iter().any(|turn| turn.pull == id) {
        Arc::make_mut(&mut plan.order).retain(|turn| turn.pull != id);
    }
    Ok(())
}

fn place(
    plan: &mut Plan,
    id: PullId,
    placements: &BTreeMap<PlacementId, Placement>,
) -> Result<(), EditError> {
    for placement in placements.values() {
        if !plan.molds.contains_key(&placement.mold) {
            return Err(EditError::NoSuchMold(placement.mold));
        }
        check::copy(placement.copy)?;
    }
    let pull = pull_mut(plan, id)?;
    check::count("placements", pull.placements.len() + placements.len(), limits::PLACEMENTS)?;
    for (&key, placement) in placements {
        let pose = check::pose(placement.pose)?;
        if pull.placements.insert(key, Placement { pose, ..*placement }).is_some() {
            return Err(EditError::PlacementExists(key));
        }
    }
    Ok(())
}

fn move_to(
    plan: &mut Plan,
    id: PullId,
    poses: &BTreeMap<PlacementId, Pose>,
) -> Result<(), EditError> {
    let pull = pull_mut(plan, id)?;
    for (&key, &pose) in poses {
        let placement = placement_mut(pull, key)?;
        if placement.locked {
            return Err(EditError::Locked(key));
        }
        placement.pose = check::pose(pose)?;
    }
    Ok(())
}

fn lock(
    plan: &mut Plan,
    id: PullId,
    keys: &BTreeSet<PlacementId>,
    locked: bool,
) -> Result<(), EditError> {
    let pull = pull_mut(plan, id)?;
    keys.iter().try_for_each(|&key| {
        placement_mut(pull, key)?.locked = locked;
        Ok(())
    })
}

fn take_off(plan: &mut Plan, id: PullId, keys: &BTreeSet<PlacementId>) -> Result<(), EditError> {
    let pull = pull_mut(plan, id)?;
    for &key in keys {
        if placement_mut(pull, key)?.locked {
            return Err(EditError::Locked(key));
        }
        pull.placements.remove(&key);
    }
    Ok(())
}

fn pull_mut(plan: &mut Plan, id: PullId) -> Result<&mut Pull, EditError> {
    plan.pulls.get_mut(&id).map(Arc::make_mut).ok_or(EditError::NoSuchPull(id))
}

fn placement_mut(pull: &mut Pull, id: PlacementId) -> Result<&mut Placement, EditError> {
    pull.placements.get_mut(&id).ok_or(EditError::NoSuchPlacement(id))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::plan::{CopyNumber, Footprint, sample};
    use crate::units::{Angle, Length};

    const PULL: PullId = PullId(1);
    const FIRST: PlacementId = PlacementId(1);

    fn pose(x: f64) -> Pose {
        Pose::new(Point::new(x, 50.0), Angle::ZERO)
    }

    #[test]
    fn a_move_changes_one_placement_and_shares_the_rest() {
        let before = sample();
        let after =
            before.apply(&Edit::Move(PULL, BTreeMap::from([(FIRST, pose(70.0))]))).expect("moves");
        assert_eq!(after.pulls[&PULL].placements[&FIRST].pose, pose(70.0));
        assert!(before.molds.iter().all(|(id, mold)| Arc::ptr_eq(mold, &after.molds[id])));
        assert_ne!(before, after);
    }

    #[test]
    fn a_locked_placement_refuses_to_move_or_leave_until_it_is_freed() {
        let locked =
            sample().apply(&Edit::Lock(PULL, BTreeSet::from([FIRST]), true)).expect("locks");
        let moving = Edit::Move(PULL, BTreeMap::from([(FIRST, pose(70.0))]));
        assert_eq!(locked.apply(&moving), Err(EditError::Locked(FIRST)));
        let leaving = Edit::TakeOff(PULL, BTreeSet::from([FIRST]));
        assert_eq!(locked.apply(&leaving), Err(EditError::Locked(FIRST)));
        let freed = locked.apply(&Edit::Lock(PULL, BTreeSet::from([FIRST]), false)).expect("frees");
        assert!(freed.apply(&moving).is_ok());
    }

    #[test]
    fn removing_a_mold_takes_it_off_every_pull() {
        let after = sample().apply(&Edit::RemoveMold(MoldId(3))).expect("removes");
        assert!(after.pulls[&PULL].placements.values().all(|p| p.mold != MoldId(3)));
        assert_eq!(after.pulls[&PULL].placements.len(), 4);
    }

    #[test]
    fn all_or_nothing() {
        let plan = sample();
        let edit = Edit::All(vec![Edit::Rename("Half done".into()), Edit::RemoveMold(MoldId(99))]);
        assert_eq!(plan.apply(&edit), Err(EditError::NoSuchMold(MoldId(99))));
        assert_eq!(plan.name, "Tide-pool kit");
    }

    #[test]
    fn what_makes_no_sense_is_refused_with_the_value_and_the_limit() {
        let plan = sample();
        let circle = |mm| Footprint::Circle { diameter: Length::mm(mm) };
        let tall = Mold::new("Tower", circle(50.0), Length::mm(9000.0));
        let copy =
            Placement { mold: MoldId(1), copy: CopyNumber(0), pose: pose(50.0), locked: false };
        let cases = [
            (Edit::Rename(String::new()), "a name needs at least one character"),
            (
                Edit::Rename("x".repeat(81)),
                "a name of 81 characters is longer than the 80 that fit",
            ),
            (
                Edit::AddMold(MoldId(9), Box::new(tall)),
                "a mold height of 9000.0 mm is outside 0.1 mm to 2000.0 mm",
            ),
            (
                Edit::AddMold(MoldId(9), Box::new(Mold::new("Dot", circle(0.0), Length::mm(5.0)))),
                "a diameter of 0.0 mm is outside 0.1 mm to 5000.0 mm",
            ),
            (
                Edit::AddMold(MoldId(1), Box::new((*plan.molds[&MoldId(1)]).clone())),
                "there is a mold 1 already",
            ),
            (Edit::RemovePull(PULL), "pull 1 is the last one; a plan keeps at least one pull"),
            (Edit::RemovePull(PullId(7)), "there is no pull 7 in this plan"),
            (
                Edit::Move(PULL, BTreeMap::from([(FIRST, pose(f64::NAN))])),
                "a position is not a number; type a length such as 35 mm",
            ),
            (
                Edit::Place(PULL, BTreeMap::from([(PlacementId(50), copy)])),
                "copies are numbered from 1 to 100, not 0",
            ),
        ];
        for (edit, words) in cases {
            let error = plan.apply(&edit).expect_err(words);
            assert_eq!(error.to_string(), words);
        }
        assert_eq!(plan, sample());
    }
}
