//! More copies on the blank than exist, and the same copy in two places.

use std::collections::BTreeMap;

use super::bench::Bench;
use super::voice::{Voice, Words};
use super::{Finding, Measure, Rule, Severity, Subject};
use crate::plan::{CopyNumber, MoldId};

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let mut places: BTreeMap<(MoldId, CopyNumber), Vec<Subject>> = BTreeMap::new();
    for (&id, placement) in &bench.pull.placements {
        let copy = (placement.mold, placement.copy);
        places.entry(copy).or_default().push(Subject::Placement(id));
        let exist = bench.plan.molds.get(&placement.mold).map_or(0, |mold| mold.copies);
        if placement.copy.0 > exist {
            found.push(finding(vec![Subject::Placement(id)], placement.copy.0, exist));
        }
    }
    for subjects in places.into_values().filter(|subjects| subjects.len() > 1) {
        let n_places = u32::try_from(subjects.len()).unwrap_or(u32::MAX);
        found.push(finding(subjects, n_places, 1));
    }
}

const fn finding(subjects: Vec<Subject>, measured: u32, allowed: u32) -> Finding {
    Finding {
        rule: Rule::Copies,
        severity: Severity::Stop,
        subjects,
        place: None,
        measured: Some(Measure::Count(measured)),
        allowed: Some(Measure::Count(allowed)),
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let (measured, allowed) = (count(finding.measured), count(finding.allowed));
    if finding.subjects.len() > 1 {
        return Words {
            title: format!("{name} stands in {measured} places"),
            reason: format!("{name} is one mold, and it stands in {measured} places of this pull."),
            next_step: "Take all but one off the blank, or place another copy.".to_owned(),
        };
    }
    let mold = voice.first_mold(finding).map_or_else(String::new, |mold| mold.name.clone());
    let exist = match allowed {
        1 => "only 1 exists".to_owned(),
        n => format!("only {n} exist"),
    };
    Words {
        title: format!("{name} does not exist"),
        reason: format!("Copy {measured} of {mold} stands on the blank; {exist}."),
        next_step: format!("Take it off the blank, or say that {measured} copies of {mold} exist."),
    }
}

const fn count(measure: Option<Measure>) -> u32 {
    match measure {
        Some(Measure::Count(count)) => count,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, check_words, layout};
    use super::*;
    use crate::edit::Edit;
    use crate::geometry::{Point, Pose};
    use crate::plan::{Mold, Placement, PlacementId};
    use crate::units::Angle;

    const PLACES: [(f64, f64, f64); 2] = [(80.0, 150.0, 0.0), (300.0, 150.0, 0.0)];

    #[test]
    fn a_copy_that_does_not_exist_is_told() {
        let plan = layout(&[(&block("Clam half", 10.0), &PLACES)]);
        check_words(
            &plan,
            Rule::Copies,
            &[[
                "stop",
                "Clam half #2 does not exist",
                "Copy 2 of Clam half stands on the blank; only 1 exists.",
                "Take it off the blank, or say that 2 copies of Clam half exist.",
            ]],
        );
    }

    #[test]
    fn one_copy_in_two_places_is_told_once() {
        let clam = Mold { copies: 2, ..block("Clam half", 10.0) };
        let plan = layout(&[(&clam, &PLACES)]);
        let pose = Pose::new(Point::new(190.0, 150.0), Angle::ZERO);
        let again = Placement { mold: MoldId(1), copy: CopyNumber(2), pose, locked: false };
        let edit = Edit::Place(PULL, BTreeMap::from([(PlacementId(7), again)]));
        check_words(
            &plan.apply(&edit).expect("places"),
            Rule::Copies,
            &[[
                "stop",
                "Clam half #2 stands in 2 places",
                "Clam half #2 is one mold, and it stands in 2 places of this pull.",
                "Take all but one off the blank, or place another copy.",
            ]],
        );
    }

    #[test]
    fn as_many_as_exist_pass() {
        let clam = Mold { copies: 2, ..block("Clam half", 10.0) };
        check_words(&layout(&[(&clam, &PLACES)]), Rule::Copies, &[]);
    }
}
