//! Molds that draw the sheet thin: the mean thickness left of the gauge.
//!
//! The bands are our own choice: under a half a note, under a third a caution, under a fifth a likely split.
//!
//! **Source:** mean thickness as gauge over areal draw ratio: SPE Thermoforming Division, Thermoforming 101,
//! The Ubiquitous Draw Ratio, Thermoforming Quarterly 24(4), 2005.

use super::bench::Bench;
use super::voice::{Voice, Words, measured_length};
use super::{Finding, Measure, Rule, Severity, Subject};
use crate::geometry::tolerance;
use crate::physics::mean_thickness;

/// Shares of the gauge below which the sheet is thin, the worst first.
pub(super) const BANDS: [(f64, Severity); 3] =
    [(0.2, Severity::Stop), (0.33, Severity::Caution), (0.5, Severity::Note)];

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let gauge = bench.stock().gauge;
    for (id, ready) in bench.sound_molds() {
        let Some(draw) = ready.draw() else { continue };
        let mean = mean_thickness(gauge, draw.areal);
        let is_under = |share: f64| mean < gauge * share - tolerance::SAME;
        if let Some((share, severity)) = BANDS.into_iter().find(|&(share, _)| is_under(share)) {
            found.push(Finding {
                rule: Rule::Gauge,
                severity,
                subjects: vec![Subject::Mold(id)],
                place: None,
                measured: Some(Measure::Length(mean)),
                allowed: Some(Measure::Length(gauge * share)),
            });
        }
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let gauge = voice.stock().gauge;
    let mean = measured_length(finding);
    let (title, outlook) = match finding.severity {
        Severity::Stop => ("draws the sheet to splitting", "It is likely to split or tear."),
        Severity::Caution => ("draws the sheet very thin", "Corners get thinner still."),
        Severity::Note => ("draws the sheet thin", "Corners get thinner still."),
    };
    Words {
        title: format!("{name} {title}"),
        reason: format!(
            "Its formed surface is {areal:.1} times its footprint, so {gauge} sheet keeps {mean} on average, \
             {share:.0} % of its gauge. {outlook}",
            areal = gauge / mean,
            share = mean / gauge * 100.0,
            gauge = voice.gauge(gauge),
            mean = voice.gauge(mean),
        ),
        next_step: "Make it lower, or give its walls more draft. Thicker sheet leaves more plastic but is drawn as far."
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, check_words, found, layout};
    use super::*;
    use crate::plan::{Mold, Plan};
    use crate::units::{Angle, Length};

    /// A straight block of 40 x 40 mm draws `1 + height / 10` times its footprint.
    fn standing(height: f64) -> Plan {
        let straight = Mold { draft: Angle::ZERO, ..block("Anemone base", height) };
        let mut plan = layout(&[(&straight, &[(200.0, 150.0, 0.0)])]);
        plan.stock.gauge = Length::mm(2.0);
        plan
    }

    #[test]
    fn less_than_half_of_the_gauge_is_noted_with_what_is_left() {
        check_words(
            &standing(15.0),
            Rule::Gauge,
            &[[
                "note",
                "Anemone base draws the sheet thin",
                "Its formed surface is 2.5 times its footprint, so 2.00 mm sheet keeps 0.80 mm on average, 40 % of its \
                 gauge. Corners get thinner still.",
                "Make it lower, or give its walls more draft. Thicker sheet leaves more plastic but is drawn as far.",
            ]],
        );
    }

    #[test]
    fn the_bands_are_a_half_a_third_and_a_fifth() {
        for (height, severity) in [
            (10.0, None),
            (10.1, Some(Severity::Note)),
            (20.0, Some(Severity::Note)),
            (20.4, Some(Severity::Caution)),
            (40.0, Some(Severity::Caution)),
            (40.1, Some(Severity::Stop)),
        ] {
            let plan = standing(height);
            let told = found(&plan, Rule::Gauge).first().map(|finding| finding.severity);
            assert_eq!(told, severity, "{height} mm");
        }
    }

    #[test]
    fn the_band_that_was_crossed_is_what_is_allowed() {
        let plan = standing(40.1);
        let finding = &found(&plan, Rule::Gauge)[0];
        assert_eq!(finding.allowed, Some(Measure::Length(Length::mm(2.0) * 0.2)));
        assert!(finding.reason(&plan, PULL).ends_with("It is likely to split or tear."));
    }
}
