//! Molds too tall for the machine, their spacers counted.

use super::bench::Bench;
use super::voice::{Voice, Words, allowed_length, measured_length};
use super::{Finding, Measure, Rule, Severity, Subject};
use crate::geometry::tolerance;
use crate::units::Length;

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let clears = bench.plan.machine.clears;
    for ready in bench.molds() {
        let height = ready.mold.standing_height();
        if height > clears + tolerance::SAME {
            found.push(Finding {
                rule: Rule::Tall,
                severity: Severity::Stop,
                subjects: vec![Subject::Mold(ready.id)],
                place: None,
                measured: Some(Measure::Length(height)),
                allowed: Some(Measure::Length(clears)),
            });
        }
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let [measured, allowed] = voice.figures(finding);
    let spacer = voice.first_mold(finding).map_or(Length::ZERO, |mold| mold.spacer);
    let excess = voice.enough(measured_length(finding) - allowed_length(finding));
    let (counted, lower) = if spacer > Length::ZERO {
        (format!(", its spacer of {} counted", voice.length(spacer)), "the mold or its spacer")
    } else {
        (String::new(), "the mold")
    };
    Words {
        title: format!("{name} is too tall for the machine"),
        reason: format!("{name} stands {measured} tall{counted}; the machine clears {allowed}."),
        next_step: format!("Lower {lower} by {excess}, or check what the machine clears."),
    }
}
