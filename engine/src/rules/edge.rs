//! Molds that stand closer to the clamp than the edge rule: the skirt thins and the frame chills the sheet.
//!
//! A mold that reaches beyond the opening is the opening rule's.

use super::bench::Bench;
use super::voice::{Voice, Words, allowed_length, away_from, measured_length, side_of};
use super::{Finding, Measure, Place, Rule, Severity, Side, Subject, spacing};
use crate::geometry::tolerance;

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for standing in bench.standing() {
        let allowed = spacing::to_edge(&bench.plan.settings, standing.mold);
        let (side, room) = Side::tightest(standing.extent, bench.opening);
        if room < -tolerance::SAME || room >= allowed - tolerance::SAME {
            continue;
        }
        let from = side.farthest(bench.shape(standing), standing.pose);
        found.push(Finding {
            rule: Rule::Edge,
            severity: Severity::Caution,
            subjects: vec![Subject::Placement(standing.id)],
            place: Some(Place::Gap(from, side.across(from, bench.opening))),
            measured: Some(Measure::Length(room)),
            allowed: Some(Measure::Length(allowed)),
        });
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let side = side_of(finding, voice.plan.machine.opening());
    let [measured, allowed] = voice.figures(finding);
    let rule = voice.plan.settings.edge;
    let trim = voice.first_mold(finding).map_or(rule.least, |mold| mold.trim);
    let asked = allowed_length(finding);
    let (because, setting) = if asked <= rule.least {
        ("the least margin whatever the height".to_owned(), "lower the least margin in Settings")
    } else if asked <= trim {
        ("its trim allowance".to_owned(), "give it a smaller trim allowance")
    } else {
        (format!("{} x its height", rule.factor), "lower the edge factor in Settings")
    };
    Words {
        title: format!("{name} stands too close to the clamp"),
        reason: format!(
            "{name} stands {measured} from the clamp on the {} side; {allowed} is asked, {because}.",
            side.word()
        ),
        next_step: format!(
            "Move it {} {}, or {setting}.",
            voice.enough(asked - measured_length(finding)),
            away_from(side)
        ),
    }
}
