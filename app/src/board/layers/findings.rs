//! Where the rules have something to say: a ring, a triangle or a crossed square, with a word and the figures.

use std::collections::BTreeSet;

use engine::drawing::{Form, Mark, Role};
use engine::geometry::Point;
use engine::plan::PlacementId;
use engine::rules::{Finding, Measure, Place, Severity, Subject};
use engine::units::LengthStyle;
use leptos::prelude::*;

use super::super::state::BoardState;
use super::super::words;
use super::path;

/// One sign on the board.
#[derive(Clone, Debug, PartialEq)]
struct Sign {
    at: Point,
    severity: Severity,
    word: &'static str,
    /// What was measured and what is asked, where both are lengths.
    figures: Option<String>,
}

/// The signs of all findings that have a place on the board; the others are written on their molds.
#[component]
pub(in super::super) fn Findings(board: BoardState) -> impl IntoView {
    let signs = Memo::new(move |_| signs_of(board));
    let lines = move || {
        board.store.drawing().with(|drawing| {
            let is_line = |mark: &&Mark| {
                matches!((mark.role, &mark.form), (Role::FindingMark(_), Form::Line(..)))
            };
            let lines = drawing.marks.iter().filter(is_line);
            lines.map(|mark| path::of_form(&mark.form)).collect::<String>()
        })
    };
    view! {
        <g class="signs" aria-hidden="true">
            <path class="finding-line" d=lines/>
            {move || signs.get().into_iter().map(sign_view).collect_view()}
        </g>
    }
}

fn sign_view(sign: Sign) -> impl IntoView {
    view! {
        <g transform=format!("translate({:.3} {:.3})", sign.at.x, sign.at.y)>
            <g class=format!("constant sign sign-{}", sign.severity.word())>
                <path class="sign-shape" d=shape(sign.severity)/>
                <text class="sign-word" y="24">{sign.word}</text>
                <text class="sign-figures" y="39">{sign.figures}</text>
            </g>
        </g>
    }
}

/// A ring, a triangle or a crossed square about the origin, in pixels.
pub(super) const fn shape(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "M0 -8.5a8.5 8.5 0 1 0 0 17a8.5 8.5 0 1 0 0 -17z",
        Severity::Caution => "M0 -10.5L11 8.5H-11z",
        Severity::Stop => "M-9 -9H9V9H-9zM-9 -9L9 9M9 -9L-9 9",
    }
}

fn signs_of(board: BoardState) -> Vec<Sign> {
    let moving = board.moving.get();
    let style = board.store.shown().with(|plan| plan.settings.lengths);
    board.store.findings().with(|findings| {
        findings.iter().filter_map(|finding| sign(finding, &moving, style)).collect()
    })
}

fn sign(finding: &Finding, moving: &BTreeSet<PlacementId>, style: LengthStyle) -> Option<Sign> {
    let at = match finding.place? {
        Place::Point(at) => at,
        Place::Gap(a, b) => a.midpoint(b),
    };
    // The gap's own figure is shown while its mold is on the move.
    let is_moving = finding.subjects.iter().any(|subject| match subject {
        Subject::Placement(id) => moving.contains(id),
        Subject::Mold(_) | Subject::Stock => false,
    });
    let figures = if is_moving { None } else { figures(finding, style) };
    Some(Sign { at, severity: finding.severity, word: words::short(finding.rule), figures })
}

/// "4.0 of 45.5 mm": what was measured of what is asked, where both are lengths.
fn figures(finding: &Finding, style: LengthStyle) -> Option<String> {
    match (finding.measured, finding.allowed) {
        (Some(Measure::Length(is)), Some(Measure::Length(asked))) => {
            let (is, asked) = (style.show(is), style.show(asked));
            let unit = asked.rfind(' ').map_or("", |at| &asked[at..]);
            Some(format!("{} of {asked}", is.trim_end_matches(unit)))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use engine::plan::{PullId, sample};
    use engine::rules::{Rule, check};

    use super::*;

    fn close() -> Finding {
        let findings = check(&sample(), PullId(1));
        findings.into_iter().find(|f| f.rule == Rule::Clearance).expect("a gap too small")
    }

    #[test]
    fn the_gap_of_the_sample_has_its_sign_in_its_middle_with_what_it_is_and_should_be() {
        let close = close();
        let Some(Place::Gap(a, b)) = close.place else { panic!("{close:?}") };
        let sign = sign(&close, &BTreeSet::new(), LengthStyle::Millimetres).expect("a sign");
        assert_eq!((sign.at, sign.word), (a.midpoint(b), "too close"));
        let figures = sign.figures.expect("figures");
        assert!(figures.contains(" of ") && figures.matches("mm").count() == 1, "{figures}");
    }

    #[test]
    fn the_figures_are_left_to_the_gap_while_the_mold_is_on_the_move() {
        let close = close();
        let Subject::Placement(id) = close.subjects[0] else { panic!("{close:?}") };
        let sign = sign(&close, &BTreeSet::from([id]), LengthStyle::FractionInches);
        assert_eq!(sign.and_then(|sign| sign.figures), None);
    }

    #[test]
    fn what_has_no_place_has_no_sign() {
        let finding = Finding { place: None, ..close() };
        assert_eq!(sign(&finding, &BTreeSet::new(), LengthStyle::Millimetres), None);
    }
}
