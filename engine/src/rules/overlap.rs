//! Molds that share a place.

use super::bench::Bench;
use super::voice::{Voice, Words};
use super::{Finding, Measure, Place, Rule, Severity, Subject};
use crate::units::Length;

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    found.extend(bench.close_pairs().iter().filter(|pair| pair.is_overlapping).map(|pair| {
        Finding {
            rule: Rule::Overlap,
            severity: Severity::Stop,
            subjects: pair.ids.map(Subject::Placement).to_vec(),
            place: Some(Place::Point(pair.gap.from)),
            measured: Some(Measure::Length(Length::ZERO)),
            allowed: Some(Measure::Length(pair.allowed)),
        }
    }));
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let names = voice.both_names(finding);
    let [_, allowed] = voice.figures(finding);
    Words {
        title: format!("{names} overlap"),
        reason: format!("{names} share a place on the platen; {allowed} between them is asked."),
        next_step: "Move or turn one of them, or take it off the blank.".to_owned(),
    }
}
