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
