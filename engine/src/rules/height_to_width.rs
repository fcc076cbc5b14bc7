//! Molds that are deep for their width.
//!
//! The height is the mold's own: what a spacer adds is trimmed off.

use super::bench::Bench;
use super::voice::{Voice, Words, kind_word};
use super::{Finding, Measure, Rule, Severity, Subject};
use crate::geometry::{min_width, tolerance};
use crate::physics::HEIGHT_TO_WIDTH;
use crate::plan::{MoldKind, Settings};

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for (id, ready) in bench.sound_molds() {
        let limit = limit(&bench.plan.settings, ready.mold().kind);
        let (height, width) = (ready.mold().height, min_width(ready.shape()));
        if height > width * limit + tolerance::SAME {
            found.push(Finding {
                rule: Rule::HeightToWidth,
                severity: Severity::Caution,
                subjects: vec![Subject::Mold(id)],
                place: None,
                measured: Some(Measure::Ratio(height / width)),
                allowed: Some(Measure::Ratio(limit)),
            });
        }
    }
}

const fn limit(settings: &Settings, kind: MoldKind) -> f64 {
    match kind {
        MoldKind::Male => settings.male_height_to_width,
        MoldKind::Female => settings.female_height_to_width,
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let (measured, allowed) = (ratio(finding.measured), ratio(finding.allowed));
    let mold = voice.first_mold(finding);
    let kind = kind_word(mold.map_or(MoldKind::Male, |mold| mold.kind));
    let figures = mold.map_or_else(String::new, |mold| {
        let (height, width) = (mold.height, mold.height / measured);
        format!(", {} over {}", voice.length(height), voice.length(width))
    });
    Words {
        title: format!("{name} is deep for its width"),
        reason: format!(
            "Its height to width is {measured:.2}{figures}; up to {allowed:.2} is asked of a {kind} mold. \
             Height to width is {}.",
            HEIGHT_TO_WIDTH.says
        ),
        next_step: "Make it lower or wider, or stretch the sheet before the vacuum and raise the limit in Settings."
            .to_owned(),
    }
}

const fn ratio(measure: Option<Measure>) -> f64 {
    match measure {
        Some(Measure::Ratio(ratio)) => ratio,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, check_words, found, layout};
    use super::*;
    use crate::plan::{Mold, Plan};
    use crate::units::Length;

    fn standing(kind: MoldKind, height: f64) -> Plan {
        let mold = Mold { kind, spacer: Length::mm(9.0), ..block("Anemone base", height) };
        layout(&[(&mold, &[(200.0, 150.0, 30.0)])])
    }

    #[test]
    fn a_male_mold_taller_than_wide_is_told_with_the_definition() {
        check_words(
            &standing(MoldKind::Male, 50.0),
            Rule::HeightToWidth,
            &[[
                "caution",
                "Anemone base is deep for its width",
                "Its height to width is 1.25, 50.0 mm over 40.0 mm; up to 1.00 is asked of a male mold. Height to \
                 width is mold height over the narrower footprint width between two parallel lines, spacer left out.",
                "Make it lower or wider, or stretch the sheet before the vacuum and raise the limit in Settings.",
            ]],
        );
    }

    #[test]
    fn molds_at_their_limit_pass_and_a_female_one_has_the_lower() {
        check_words(&standing(MoldKind::Male, 40.0), Rule::HeightToWidth, &[]);
        check_words(&standing(MoldKind::Female, 30.0), Rule::HeightToWidth, &[]);
        let deep = found(&standing(MoldKind::Female, 31.0), Rule::HeightToWidth);
        assert_eq!(deep[0].allowed, Some(Measure::Ratio(0.75)));
    }
}
