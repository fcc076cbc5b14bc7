//! Molds that stand off the platen, where there is no vacuum.
//!
//! Only what reaches beyond the platen within the opening counts: what is beyond the opening is the
//! opening rule's.

use super::bench::{Bench, Standing};
use super::voice::{Voice, Words, away_from, measured_length, side_of};
use super::{Finding, Measure, Place, Rule, Severity, Side, Subject};
use crate::geometry::tolerance;
use crate::units::Length;

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    found.extend(bench.standing().iter().filter_map(|standing| off_platen(bench, standing)));
}

/// A stop when the mold's centre is off the platen, a caution when a part of it is.
fn off_platen(bench: &Bench<'_>, standing: &Standing<'_>) -> Option<Finding> {
    let platen = bench.plan.machine.platen;
    let seen = standing.extent.intersection(bench.opening)?;
    let (side, room) = Side::tightest(seen, platen);
    if room >= -tolerance::SAME {
        return None;
    }
    let shape = bench.shape(standing);
    let is_centre_off = !platen.contains(standing.pose.apply(shape.centroid()));
    Some(Finding {
        rule: Rule::Platen,
        severity: if is_centre_off { Severity::Stop } else { Severity::Caution },
        subjects: vec![Subject::Placement(standing.id)],
        place: Some(Place::Point(side.farthest(shape, standing.pose))),
        measured: Some(Measure::Length(-room)),
        allowed: Some(Measure::Length(Length::ZERO)),
    })
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let side = side_of(finding, voice.plan.machine.platen);
    let [reach, _] = voice.figures(finding);
    let title = match finding.severity {
        Severity::Stop => format!("{name} stands off the platen"),
        Severity::Note | Severity::Caution => format!("{name} stands partly off the platen"),
    };
    Words {
        title,
        reason: format!(
            "{name} reaches {reach} beyond the platen on the {} side, where there is no vacuum to draw the sheet down.",
            side.word()
        ),
        next_step: format!(
            "Move it {} {}, or check where the platen lies in the machine.",
            voice.enough(measured_length(finding)),
            away_from(side)
        ),
    }
}
