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

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, check_words, found, layout};
    use super::*;
    use crate::geometry::Point;
    use crate::plan::Mold;
    use crate::units::Length;

    #[test]
    fn a_mold_near_the_clamp_is_told_its_worst_side_only() {
        let plan = layout(&[(&block("Limpet", 30.0), &[(60.0, 57.5, 0.0)])]);
        check_words(
            &plan,
            Rule::Edge,
            &[[
                "caution",
                "Limpet stands too close to the clamp",
                "Limpet stands 22.5 mm from the clamp on the front side; 30.0 mm is asked, 1 x its height.",
                "Move it 7.5 mm to the back, or lower the edge factor in Settings.",
            ]],
        );
        let Some(Place::Gap(from, to)) = found(&plan, Rule::Edge)[0].place else { panic!("a gap") };
        assert!((from.y - 37.5).abs() < 1e-9 && (to - Point::new(from.x, 15.0)).length() < 1e-9);
    }

    #[test]
    fn a_mold_exactly_at_its_margin_passes() {
        let at = |x: f64| layout(&[(&block("Limpet", 10.0), &[(x, 150.0, 0.0)])]);
        check_words(&at(60.0), Rule::Edge, &[]);
        check_words(&at(60.0 - 1e-9), Rule::Edge, &[]);
        assert_eq!(found(&at(59.99), Rule::Edge).len(), 1);
    }

    #[test]
    fn what_asks_the_most_is_named() {
        let low = block("Limpet", 10.0);
        let wide = Mold { trim: Length::mm(40.0), ..low.clone() };
        for (mold, because, change) in [
            (low, "25.0 mm is asked, the least margin", "lower the least margin in Settings."),
            (wide, "40.0 mm is asked, its trim", "give it a smaller trim allowance."),
        ] {
            let plan = layout(&[(&mold, &[(55.0, 150.0, 0.0)])]);
            let finding = &found(&plan, Rule::Edge)[0];
            let reason = finding.reason(&plan, PULL);
            assert!(reason.contains(because), "{reason}");
            let next = finding.next_step(&plan, PULL);
            assert!(next.ends_with(change), "{next}");
        }
    }
}
