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
    for ready in bench.sound_molds() {
        let limit = limit(&bench.plan.settings, ready.mold.kind);
        let (height, width) = (ready.mold.height, min_width(&ready.shape));
        if height > width * limit + tolerance::SAME {
            found.push(Finding {
                rule: Rule::HeightToWidth,
                severity: Severity::Caution,
                subjects: vec![Subject::Mold(ready.id)],
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
