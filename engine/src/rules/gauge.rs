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
use crate::physics::{Draw, mean_thickness};

/// Shares of the gauge below which the sheet is thin, the worst first.
pub(super) const BANDS: [(f64, Severity); 3] =
    [(0.2, Severity::Stop), (0.33, Severity::Caution), (0.5, Severity::Note)];

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let gauge = bench.plan.stock.gauge;
    for ready in bench.sound_molds() {
        let Some(draw) = Draw::over(ready.mold, &ready.shape) else { continue };
        let mean = mean_thickness(gauge, draw.areal);
        let is_under = |share: f64| mean < gauge * share - tolerance::SAME;
        if let Some((share, severity)) = BANDS.into_iter().find(|&(share, _)| is_under(share)) {
            found.push(Finding {
                rule: Rule::Gauge,
                severity,
                subjects: vec![Subject::Mold(ready.id)],
                place: None,
                measured: Some(Measure::Length(mean)),
                allowed: Some(Measure::Length(gauge * share)),
            });
        }
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let gauge = voice.plan.stock.gauge;
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
