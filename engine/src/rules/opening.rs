//! Molds that reach under the clamp or off the blank.

use super::bench::Bench;
use super::voice::{Voice, Words, away_from, measured_length, side_of};
use super::{Finding, Measure, Place, Rule, Severity, Side, Subject};
use crate::geometry::{Rect, tolerance};
use crate::units::Length;

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for standing in bench.standing() {
        let (side, room) = Side::tightest(standing.extent, bench.opening);
        if room >= -tolerance::SAME {
            continue;
        }
        let farthest = side.farthest(bench.shape(standing), standing.pose);
        found.push(Finding {
            rule: Rule::Opening,
            severity: Severity::Stop,
            subjects: vec![Subject::Placement(standing.id)],
            place: Some(Place::Point(farthest)),
            measured: Some(Measure::Length(-room)),
            allowed: Some(Measure::Length(Length::ZERO)),
        });
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let machine = voice.plan.machine;
    let side = side_of(finding, machine.opening());
    let is_off_blank = match finding.place {
        Some(Place::Point(at)) => !machine.blank.rect().contains(at),
        _ => false,
    };
    let [reach, _] = voice.figures(finding);
    let title = if is_off_blank { "reaches off the blank" } else { "reaches under the clamp" };
    Words {
        title: format!("{name} {title}"),
        reason: format!(
            "{name} reaches {reach} beyond the opening on the {} side, where the frame holds the sheet.",
            side.word()
        ),
        next_step: next_step(finding, voice, side, machine.opening()),
    }
}

fn next_step(finding: &Finding, voice: &Voice<'_>, side: Side, opening: Rect) -> String {
    let far_room = voice.extent(finding).map_or(Length::ZERO, |e| side.opposite().room(e, opening));
    let reach = measured_length(finding);
    if far_room < reach {
        return "It does not fit the opening this way: turn it, or use a larger frame.".to_owned();
    }
    let margin = voice.first_mold(finding).map_or(Length::ZERO, |mold| {
        voice.plan.settings.edge.margin(mold.standing_height(), mold.trim)
    });
    format!(
        "Move it {} {}; the edge rule asks for {} more.",
        voice.enough(reach),
        away_from(side),
        voice.length(margin)
    )
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, check_words, found, layout};
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn a_mold_under_the_clamp_is_told_how_far_and_which_way_to_move() {
        let plan = layout(&[(&block("Limpet", 10.0), &[(32.0, 150.0, 0.0)])]);
        check_words(
            &plan,
            Rule::Opening,
            &[[
                "stop",
                "Limpet reaches under the clamp",
                "Limpet reaches 3.0 mm beyond the opening on the left side, where the frame holds the sheet.",
                "Move it 3.0 mm to the right; the edge rule asks for 25.0 mm more.",
            ]],
        );
        check_words(&plan, Rule::Edge, &[]);
    }

    #[test]
    fn a_mold_beyond_the_lip_is_off_the_blank() {
        let plan = layout(&[(&block("Limpet", 10.0), &[(200.0, 310.0, 45.0)])]);
        let finding = &found(&plan, Rule::Opening)[0];
        let title = finding.title(&plan, PULL);
        assert_eq!(title, "Limpet reaches off the blank");
        let Some(Place::Point(at)) = finding.place else { panic!("{finding:?}") };
        assert!(at.distance(Point::new(200.0, 310.0 + 800.0_f64.sqrt())) < 1e-9, "{at:?}");
    }

    #[test]
    fn a_mold_larger_than_the_opening_is_not_sent_to_and_fro() {
        let mut plan = layout(&[(&block("Limpet", 10.0), &[(40.0, 40.0, 0.0)])]);
        plan.machine.lip = crate::plan::Sides::all(Length::mm(140.0));
        let finding = &found(&plan, Rule::Opening)[0];
        assert_eq!(
            finding.next_step(&plan, PULL),
            "It does not fit the opening this way: turn it, or use a larger frame."
        );
    }

    #[test]
    fn a_mold_at_the_very_edge_of_the_opening_is_in_it() {
        let plan = layout(&[(&block("Limpet", 10.0), &[(35.0, 35.0, 90.0)])]);
        check_words(&plan, Rule::Opening, &[]);
    }
}
