//! The three severities as shapes, so that no finding is told by colour alone.

use crate::reactive::prelude::*;
use engine::rules::Severity;

/// A ring for a note, a triangle for a caution, a crossed square for a stop.
#[component]
pub(super) fn SeverityShape(
    /// Which severity.
    severity: Severity,
) -> impl IntoView {
    let path = match severity {
        Severity::Note => "M10 3.5a6.5 6.5 0 1 0 0 13a6.5 6.5 0 1 0 0 -13z",
        Severity::Caution => "M10 2.5L18 17H2z",
        Severity::Stop => "M3 3H17V17H3zM3 3L17 17M17 3L3 17",
    };
    view! {
        <svg class=format!("shape shape-{}", severity.word()) viewBox="0 0 20 20" aria-hidden="true">
            <path d=path/>
        </svg>
    }
}
