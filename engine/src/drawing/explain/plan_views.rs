//! What is best seen from above: outlines, places, and the edge of the opening.

use super::sketch::Sketch;
use super::{Diagram, Told};
use crate::drawing::Anchor::{Middle, Start};
use crate::rules::Severity;

/// An outline that crosses itself.
pub(super) fn footprint(told: &Told<'_>) -> Diagram {
    Sketch::new()
        .mold(&[(6.0, 4.0), (44.0, 30.0), (44.0, 4.0), (6.0, 30.0)])
        .ring(told.finding.severity, (25.0, 17.0), 3.5)
        .say((25.0, -4.0), Middle, "crosses itself")
        .mold(&[(66.0, 4.0), (104.0, 4.0), (104.0, 30.0), (66.0, 30.0)])
        .say((85.0, -4.0), Middle, "runs once round")
        .done(
            "Two outlines from above. One crosses itself, so it has no inside that could be measured; the other runs once \
             round."
                .to_owned(),
        )
}

/// Two molds in one place.
pub(super) fn overlap(told: &Told<'_>) -> Diagram {
    let asked = told.allowed();
    let severity = told.finding.severity;
    Sketch::new()
        .mold(&[(14.0, 2.0), (60.0, 2.0), (60.0, 24.0), (14.0, 24.0)])
        .mold(&[(48.0, 10.0), (94.0, 10.0), (94.0, 32.0), (48.0, 32.0)])
        .wrong(severity, &[(48.0, 10.0), (60.0, 10.0), (60.0, 24.0), (48.0, 24.0), (48.0, 10.0)])
        .wrong(severity, &[(48.0, 10.0), (60.0, 24.0)])
        .wrong(severity, &[(48.0, 24.0), (60.0, 10.0)])
        .say((2.0, 29.0), Start, "both stand here")
        .arrow((35.0, 29.6), (47.0, 22.0))
        .say((55.0, -6.0), Middle, &format!("{asked} between them is asked"))
        .done(format!(
            "Two molds from above that share a place. They cannot stand like this; {asked} between them is asked."
        ))
}

/// A mold under the frame.
pub(super) fn opening(told: &Told<'_>) -> Diagram {
    let reach = told.measured();
    Sketch::new()
        .clamp((66.0, 0.0), (92.0, 34.0))
        .edge((66.0, 0.0), (66.0, 34.0))
        .mold(&[(30.0, 7.0), (78.0, 7.0), (78.0, 27.0), (30.0, 27.0)])
        .wrong(Severity::Stop, &[(66.0, 7.0), (78.0, 7.0), (78.0, 27.0), (66.0, 27.0)])
        .say((2.0, 31.0), Start, "opening")
        .say((94.0, 30.0), Start, "clamp")
        .across((66.0, 78.0), -3.5, "")
        .say((72.0, -8.7), Middle, &format!("{reach} too far"))
        .done(format!(
            "A mold from above that reaches {reach} beyond the opening, under the frame that holds the sheet: the frame \
             would come down on it."
        ))
}

/// A mold in more places than there are of it.
pub(super) fn copies(told: &Told<'_>) -> Diagram {
    let (there, exist) = (told.measured(), told.allowed());
    let is_one = told.finding.subjects.len() > 1;
    let (words, says) = if is_one {
        (
            format!("one mold, {there} places"),
            format!("One mold from above, drawn in {there} places of the same pull."),
        )
    } else {
        (
            format!("copy {there} of only {exist}"),
            format!("A mold from above and, dashed, copy {there} of it; there are {exist}."),
        )
    };
    Sketch::new()
        .mold(&[(14.0, 4.0), (46.0, 4.0), (46.0, 28.0), (14.0, 28.0)])
        .wrong(
            told.finding.severity,
            &[(64.0, 4.0), (96.0, 4.0), (96.0, 28.0), (64.0, 28.0), (64.0, 4.0)],
        )
        .say((30.0, 14.5), Middle, "here")
        .say((80.0, 14.5), Middle, "and here")
        .say((55.0, -6.0), Middle, &words)
        .done(says)
}
