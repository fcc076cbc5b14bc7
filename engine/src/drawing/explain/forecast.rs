//! What a forecast warns of: thin walls, webs and corners that are not filled.

use super::sections::between_molds;
use super::sketch::Sketch;
use super::{Diagram, shown};
use crate::drape::{Finding, What};
use crate::drawing::Anchor::{End, Middle, Start};
use crate::rules::{Measure, Severity};
use crate::units::LengthStyle;

/// The drawing of a warning.
pub(super) fn explained(finding: &Finding, style: LengthStyle) -> Diagram {
    let is_wall = matches!(finding.what, What::Split | What::Thin);
    let figure = |measure| match measure {
        Some(Measure::Length(length)) if is_wall => style.show_gauge(length),
        measure => shown(measure, style),
    };
    let (measured, allowed) = (figure(Some(finding.measured)), figure(finding.allowed));
    let severity = finding.severity;
    match finding.what {
        What::Split => wall(severity, &measured, &format!("may split below {allowed}")),
        What::Thin => wall(severity, &measured, &format!("{allowed} is wanted")),
        What::Span => between_molds(severity)
            .say((57.0, -6.0), Middle, "the sheet hangs between them")
            .done(
                "Two molds from the side. The sheet hangs from top to top and does not come down between them: a web."
                    .to_owned(),
            ),
        What::Fold => fold(severity),
        What::Bridge => bridge(severity, &measured),
    }
}

/// A wall that is thin where it comes down.
fn wall(severity: Severity, measured: &str, wanted: &str) -> Diagram {
    Sketch::new()
        .bed(0.0, 110.0)
        .block(20.0, 56.0, 26.0, 1.5)
        .mold(&[(21.0, 26.6), (55.0, 26.6), (55.0, 29.0), (21.0, 29.0)])
        .wrong(severity, &[(55.0, 27.8), (57.4, 1.0), (68.0, 1.0)])
        .wrong(severity, &[(21.0, 27.8), (18.6, 1.0), (8.0, 1.0)])
        .ring(severity, (57.4, 1.4), 4.0)
        .arrow((65.0, 13.0), (60.4, 5.2))
        .say((64.0, 19.6), Start, measured)
        .say((64.0, 14.0), Start, "at its thinnest")
        .say((48.0, -7.6), Middle, wanted)
        .done(format!(
            "Sheet over a mold from the side. It lands on top first and stays thick there; all that comes down later is drawn \
             out of what is left, down to {measured} in the corner. {wanted}.",
            wanted = sentence(wanted)
        ))
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Surplus sheet that stands up between the corners of a mold.
fn fold(severity: Severity) -> Diagram {
    Sketch::new()
        .mold(&[(30.0, 2.0), (66.0, 2.0), (66.0, 26.0), (30.0, 26.0)])
        .wrong(severity, &[(66.0, 26.0), (80.0, 36.0)])
        .wrong(severity, &[(66.0, 26.0), (82.0, 33.5)])
        .wrong(severity, &[(66.0, 26.0), (77.0, 38.0)])
        .wrong(severity, &[(30.0, 26.0), (16.0, 36.0)])
        .arrow((60.0, 38.0), (72.0, 34.0))
        .say((58.0, 36.6), End, "folds")
        .say((48.0, -6.0), Middle, "more sheet comes down than fits")
        .done(
            "A mold from above with folds at its corners: more sheet comes down there than lies flat, and what is too much \
             stands up."
                .to_owned(),
        )
}

/// Sheet that spans a corner.
fn bridge(severity: Severity, measured: &str) -> Diagram {
    Sketch::new()
        .bed(0.0, 110.0)
        .block(14.0, 52.0, 26.0, 1.5)
        .sheet(&[(15.5, 27.2), (50.9, 27.2), (52.2, 14.0)])
        .wrong(severity, &[(52.2, 14.0), (56.0, 5.5), (66.0, 1.2)])
        .sheet(&[(66.0, 1.2), (104.0, 1.2)])
        .arrow((70.0, 14.0), (56.5, 2.6))
        .say((71.0, 14.4), Start, "not filled")
        .say((55.0, -6.0), Middle, &format!("the sheet stands off by {measured}"))
        .done(format!(
            "The foot of a mold from the side. The sheet spans the corner and stands off by {measured}: the part will be round \
             there."
        ))
}
