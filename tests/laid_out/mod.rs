//! What the tests of laying out share: asking, and judging an answer by the rules and by what was asked.

use std::collections::BTreeSet;

use engine::arrange::{
    Answer, ArrangeError, Budget, Intent, Outcome, Request, Seed, SmallerFactor, TurnedBlank,
    arrange,
};
use engine::edit::Edit;
use engine::plan::{Mold, MoldId, Placement, Plan, PullId, Turns};
use engine::rules::{Rule, Subject, check};
use engine::units::Angle;
use proptest::prelude::*;

pub(crate) const PULL: PullId = PullId(1);
/// Steps of a search on random plans; enough for what fits easily.
pub(crate) const STEPS: u64 = 150_000;

pub(crate) fn request(intent: Intent) -> Request {
    let (seed, budget) = (Seed(7), Budget { steps: STEPS });
    Request { pull: PULL, copies: Vec::new(), intent, seed, budget }
}

pub(crate) fn answer(plan: &Plan, request: &Request) -> Result<Answer, ArrangeError> {
    arrange(plan, request, &mut ())
}

pub(crate) fn with_molds(plan: &Plan, molds: &[Mold]) -> Plan {
    let add = |(id, mold): (MoldId, &Mold)| Edit::AddMold(id, Box::new(mold.clone()));
    let edits = (1..).map(MoldId).zip(molds).map(add).collect();
    plan.apply(&Edit::All(edits)).expect("adds")
}

/// Every layout that an answer offers.
pub(crate) fn edits(answer: &Answer) -> Vec<&Edit> {
    let mut edits: Vec<&Edit> = answer.edit.iter().collect();
    if let Outcome::TooFull(full) = &answer.outcome {
        edits.extend(full.leave_out.as_ref().map(|out| &out.edit));
        if let SmallerFactor::Fits { edit, .. } = &full.factor {
            edits.push(edit);
        }
        if let TurnedBlank::Fits { edit } = &full.turned_blank {
            edits.push(edit);
        }
    }
    edits
}

/// The edit applies; what is locked stays; turns are allowed or a person's; copies exist; and the rules find nothing
/// among what was laid out.
pub(crate) fn is_good(plan: &Plan, edit: &Edit, asked: &Request) -> Result<(), TestCaseError> {
    let after = plan.apply(edit).expect("an answer applies");
    let (was, is) = (&plan.pulls[&asked.pull].placements, &after.pulls[&asked.pull].placements);
    for (id, old) in was {
        if old.locked {
            prop_assert_eq!(is.get(id), Some(old));
        }
    }
    let mut answers_for = BTreeSet::new();
    for (id, new) in is {
        let old = was.get(id);
        let mold = &after.molds[&new.mold];
        if old.is_none_or(|old| old.pose.turn != new.pose.turn) {
            prop_assert!(is_allowed(mold.turns, new.pose.turn), "{:?} {:?}", mold.turns, new.pose);
        }
        if old.is_none() {
            prop_assert!(new.copy.0 <= mold.copies);
            prop_assert!(
                is.values().filter(|p| (p.mold, p.copy) == (new.mold, new.copy)).count() == 1
            );
        }
        // What is not chosen stays where it stands; and of copies that do not exist, or stand twice, as many as go
        // on chooses none.
        let is_same = |p: &&Placement| (p.mold, p.copy) == (new.mold, new.copy);
        let is_odd = new.copy.0 > mold.copies || was.values().filter(is_same).count() > 1;
        let is_meant = asked.copies.is_empty() || asked.copies.contains(&(new.mold, new.copy));
        let is_left =
            old == Some(new) && (!is_meant || is_odd && matches!(asked.intent, Intent::Most(_)));
        if !new.locked && !is_left {
            answers_for.insert(*id);
        }
    }
    for finding in check(&after, asked.pull) {
        let is_of_places = matches!(
            finding.rule,
            Rule::Overlap | Rule::Clearance | Rule::Opening | Rule::Platen | Rule::Edge
        );
        let is_ours = finding.subjects.iter().any(|subject| match subject {
            Subject::Placement(id) => answers_for.contains(id),
            Subject::Mold(_) | Subject::Stock => false,
        });
        prop_assert!(!(is_of_places && is_ours), "{:?}\n{:?}", finding, is);
    }
    Ok(())
}

pub(crate) fn is_allowed(turns: Turns, turn: Angle) -> bool {
    let degrees = turn.to_degrees();
    match turns {
        Turns::Free => true,
        Turns::Quarter => (degrees / 90.0 - (degrees / 90.0).round()).abs() < 1e-9,
        Turns::Fixed => degrees.abs() < 1e-9,
    }
}
