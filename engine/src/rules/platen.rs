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

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, check_words, found, layout};
    use super::*;
    use crate::geometry::{Point, Rect};
    use crate::plan::Plan;

    /// One block on a platen that ends at 300 mm, 85 mm short of the opening.
    fn on_short_platen(x: f64) -> Plan {
        let mut plan = layout(&[(&block("Limpet", 10.0), &[(x, 150.0, 0.0)])]);
        plan.machine.platen = Rect::new(Point::new(15.0, 15.0), Point::new(300.0, 285.0));
        plan
    }

    #[test]
    fn a_mold_partly_off_the_platen_is_a_caution() {
        check_words(
            &on_short_platen(284.0),
            Rule::Platen,
            &[[
                "caution",
                "Limpet stands partly off the platen",
                "Limpet reaches 4.0 mm beyond the platen on the right side, where there is no vacuum to draw the \
                 sheet down.",
                "Move it 4.0 mm to the left, or check where the platen lies in the machine.",
            ]],
        );
    }

    #[test]
    fn a_mold_whose_centre_is_off_the_platen_is_a_stop() {
        let plan = on_short_platen(310.0);
        let told = found(&plan, Rule::Platen);
        assert_eq!(told[0].severity, Severity::Stop);
        let title = told[0].title(&plan, PULL);
        assert_eq!(title, "Limpet stands off the platen");
    }

    #[test]
    fn a_mold_on_the_platen_passes_and_one_under_the_clamp_is_the_opening_s() {
        check_words(&on_short_platen(280.0), Rule::Platen, &[]);
        check_words(&on_short_platen(32.0), Rule::Platen, &[]);
        check_words(&on_short_platen(-500.0), Rule::Platen, &[]);
    }
}
