//! Laws of edits, undo and the saved form, on random plans and every kind of edit.

mod random_plan;

use std::collections::BTreeMap;

use engine::edit::{Edit, History};
use engine::file::{load, save};
use engine::plan::{Machine, Plan, PullId};
use proptest::collection::vec;
use random_plan::{edit, plan, runner, start};

#[test]
fn undo_after_apply_is_the_identity_and_redo_after_undo_too() {
    let law = |(start, edits): (Plan, Vec<Edit>)| {
        let mut histories = vec![History::new(start)];
        for edit in &edits {
            let before = &histories[histories.len() - 1];
            let Ok(after) = before.apply(edit) else { continue };
            if after.plan() == before.plan() {
                assert_eq!(&after, before, "an edit that changes nothing is no step");
                continue;
            }
            let undone = after.undone().expect("one step");
            assert_eq!(undone.plan(), before.plan());
            assert_eq!(undone.can_undo(), before.can_undo());
            assert_eq!(undone.redone().as_ref(), Some(&after));
            histories.push(after);
        }
        let last = histories[histories.len() - 1].clone();
        let back: Vec<History> = std::iter::successors(Some(last), History::undone).collect();
        assert_eq!(back.len(), histories.len());
        for (was, is) in histories.iter().rev().zip(&back) {
            assert_eq!(was.plan(), is.plan());
        }
        let first = back[back.len() - 1].clone();
        let forth: Vec<History> = std::iter::successors(Some(first), History::redone).collect();
        assert!(forth.iter().eq(back.iter().rev()));
        Ok(())
    };
    runner(200).run(&(start(), vec(edit(), 0..30)), law).expect("holds");
}

#[test]
fn amending_is_the_same_change_without_a_step() {
    let law = |(plan, first, second): (Plan, Edit, Edit)| {
        let Ok(history) = History::new(plan).apply(&first) else { return Ok(()) };
        let Ok(amended) = history.amend(&second) else { return Ok(()) };
        assert_eq!(amended.plan(), history.apply(&second).expect("as before").plan());
        assert_eq!(amended.can_undo(), history.can_undo());
        assert!(!amended.can_redo());
        Ok(())
    };
    runner(400).run(&(plan(), edit(), edit()), law).expect("holds");
}

#[test]
fn every_kind_of_edit_is_accepted_or_refused_and_a_refused_one_changes_nothing() {
    let tally = std::cell::RefCell::new(BTreeMap::<&'static str, [u32; 2]>::new());
    let law = |(plan, edit): (Plan, Edit)| {
        let (before, text) = (plan.clone(), save(&plan));
        let first = plan.apply(&edit);
        assert_eq!(plan, before);
        assert_eq!(save(&plan), text, "what the plan shares with the refused one is as it was");
        match (&first, plan.apply(&edit)) {
            (Ok(first), Ok(second)) => assert_eq!(*first, second),
            // Refusals of what is not a number do not equal themselves.
            (Err(first), Err(second)) => assert_eq!(first.to_string(), second.to_string()),
            (first, second) => panic!("{first:?}, then {second:?}"),
        }
        tally.borrow_mut().entry(kind(&edit)).or_default()[usize::from(first.is_ok())] += 1;
        Ok(())
    };
    runner(4000).run(&(plan(), edit()), law).expect("holds");
    let tally = tally.into_inner();
    assert_eq!(tally.len(), 19, "{tally:?}");
    assert!(tally.values().all(|&[refused, accepted]| refused > 0 && accepted > 0), "{tally:?}");
}

#[test]
fn load_after_save_is_the_identity() {
    let law = |plan: Plan| {
        let text = save(&plan);
        let loaded = load(&text).unwrap_or_else(|error| panic!("{error}: {text}"));
        assert_eq!(loaded, plan);
        assert_eq!(save(&loaded), text);
        Ok(())
    };
    runner(1000).run(&plan(), law).expect("holds");
}

#[test]
fn what_edits_made_passes_every_check_again() {
    let law = |plan: Plan| {
        let mut again = Plan::new("Again", Machine::default());
        let first = again.first_pull().expect("a new plan has one pull");
        let spare = PullId((1..).find(|n| !plan.pulls.contains_key(&PullId(*n))).expect("free"));
        let mut edits = vec![
            Edit::Rename(plan.name.clone()),
            Edit::SetMachine(plan.machine),
            Edit::SetStock(plan.stock),
            Edit::SetSettings(plan.settings),
        ];
        let molds = plan.molds.iter();
        edits.extend(molds.map(|(&id, mold)| Edit::AddMold(id, Box::new((**mold).clone()))));
        if spare != first {
            edits.push(Edit::AddPull(spare, (*again.pulls[&first]).clone()));
            edits.push(Edit::RemovePull(first));
        }
        edits.push(Edit::SetBatch(Box::new((*plan.batch).clone())));
        edits.extend(plan.pulls.iter().map(|(&id, pull)| Edit::AddPull(id, (**pull).clone())));
        edits.push(Edit::RemovePull(spare));
        edits.push(Edit::SetOrder((*plan.order).clone()));
        edits.push(Edit::SetCutting(Box::new((*plan.cutting).clone())));
        for edit in edits {
            again = again.apply(&edit).unwrap_or_else(|error| panic!("{edit:?}: {error}"));
        }
        assert_eq!(again, plan);
        Ok(())
    };
    runner(1000).run(&plan(), law).expect("holds");
}

/// The name of the kind; a new kind of edit must come here, and into the random edits.
fn kind(edit: &Edit) -> &'static str {
    match edit {
        Edit::Rename(_) => "rename",
        Edit::SetMachine(_) => "set machine",
        Edit::SetStock(_) => "set stock",
        Edit::SetSettings(_) => "set settings",
        Edit::SetBatch(_) => "set batch",
        Edit::SetCutting(_) => "set cutting",
        Edit::AddMold(..) => "add mold",
        Edit::ChangeMold(..) => "change mold",
        Edit::RemoveMold(_) => "remove mold",
        Edit::AddPull(..) => "add pull",
        Edit::RenamePull(..) => "rename pull",
        Edit::SetPullStock(..) => "set pull stock",
        Edit::SetOrder(_) => "set order",
        Edit::RemovePull(_) => "remove pull",
        Edit::Place(..) => "place",
        Edit::Move(..) => "move",
        Edit::Lock(..) => "lock",
        Edit::TakeOff(..) => "take off",
        Edit::All(_) => "all",
    }
}
