//! Molds too tall for the machine, their spacers counted.

use super::bench::Bench;
use super::voice::{Voice, Words, allowed_length, measured_length};
use super::{Finding, Measure, Rule, Severity, Subject};
use crate::geometry::tolerance;
use crate::units::Length;

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let clears = bench.plan.machine.clears;
    for (id, ready) in bench.molds() {
        let height = ready.mold().standing_height();
        if height > clears + tolerance::SAME {
            found.push(Finding {
                rule: Rule::Tall,
                severity: Severity::Stop,
                subjects: vec![Subject::Mold(id)],
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

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, check_words, layout};
    use super::*;
    use crate::plan::Mold;

    #[test]
    fn a_mold_is_measured_with_its_spacer_and_told_once() {
        let raised = Mold { spacer: Length::mm(12.0), copies: 2, ..block("Anemone base", 95.0) };
        let plan = layout(&[(&raised, &[(100.0, 150.0, 0.0), (300.0, 150.0, 0.0)])]);
        check_words(
            &plan,
            Rule::Tall,
            &[[
                "stop",
                "Anemone base is too tall for the machine",
                "Anemone base stands 107.0 mm tall, its spacer of 12.0 mm counted; the machine clears 100.0 mm.",
                "Lower the mold or its spacer by 7.0 mm, or check what the machine clears.",
            ]],
        );
    }

    #[test]
    fn a_mold_as_tall_as_the_machine_clears_passes() {
        let plan = layout(&[(&block("Anemone base", 100.0), &[(200.0, 150.0, 0.0)])]);
        check_words(&plan, Rule::Tall, &[]);
    }
}
