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

/// With more signs than this only the selected molds and what stops the pull have words.
const CROWD: usize = 8;

/// One sign on the board.
#[derive(Clone, Debug, PartialEq)]
struct Sign {
    at: Point,
    severity: Severity,
    /// What is wrong; left to the list beside the board where signs crowd.
    word: Option<&'static str>,
    /// What was measured and what is asked, where both are lengths.
    figures: Option<String>,
}

/// The signs of all findings that have a place on the board; the others are written on their molds.
#[component]
pub(in super::super) fn Findings(board: BoardState) -> impl IntoView {
    let signs = Memo::new(move |_| signs_of(board));
    let count = Memo::new(move |_| signs.with(Vec::len));
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
            <For each=move || 0..count.get() key=|nth| *nth let:nth>
                <OneSign signs nth/>
            </For>
        </g>
    }
}

/// The sign with this number. Most stay as they are from one frame of a drag to the next, and lettering is dear to make
/// anew.
#[component]
fn OneSign(signs: Memo<Vec<Sign>>, nth: usize) -> impl IntoView {
    // What it was last, for the moment between the sign's going and its element's.
    let sign = Memo::new(move |before: Option<&Option<Sign>>| {
        signs.with(|signs| signs.get(nth).cloned()).or_else(|| before.cloned().flatten())
    });
    let of = move |read: fn(&Sign) -> String| {
        Memo::new(move |_| sign.with(|sign| sign.as_ref().map(read)).unwrap_or_default())
    };
    let place = of(|sign| format!("translate({:.3} {:.3})", sign.at.x, sign.at.y));
    let class = of(|sign| format!("constant sign sign-{}", sign.severity.word()));
    let outline = of(|sign| shape(sign.severity).to_owned());
    let word = of(|sign| sign.word.unwrap_or_default().to_owned());
    let figures = of(|sign| sign.figures.clone().unwrap_or_default());
    view! {
        <g transform=place>
            <g class=class>
                <path class="sign-shape" d=outline/>
                <SignText class="sign-word" y=24 text=word/>
                <SignText class="sign-figures" y=39 text=figures/>
            </g>
        </g>
    }
}

/// A line of lettering under a sign; in a crowd most have none, and an empty one would be laid out all the same.
#[component]
fn SignText(class: &'static str, y: i32, text: Memo<String>) -> impl IntoView {
    let is_said = Memo::new(move |_| text.with(|text| !text.is_empty()));
    move || is_said.get().then(|| view! { <text class=class y=y>{text}</text> })
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
    // The gaps' own figures are shown while molds are moved, but not while they are turned.
    let figured = if board.is_turning.get() { BTreeSet::new() } else { board.moving.get() };
    let style = board.store.shown().with(|plan| plan.settings.lengths);
    board.store.findings().with(|findings| {
        board.selection.with(|selection| signs(findings, &figured, selection, style))
    })
}

/// The signs of what has a place; the molds in `figured` have figures of their own.
fn signs(
    findings: &[Finding],
    figured: &BTreeSet<PlacementId>,
    selection: &BTreeSet<PlacementId>,
    style: LengthStyle,
) -> Vec<Sign> {
    let placed = || findings.iter().filter_map(|finding| Some((finding, middle(finding.place?))));
    let is_crowded = placed().count() > CROWD;
    let sign = |(finding, at): (&Finding, Point)| {
        let severity = finding.severity;
        let is_quiet = is_crowded && severity < Severity::Stop && !is_about(finding, selection);
        let word = (!is_quiet).then(|| words::short(finding.rule));
        let has_figures = word.is_some() && !is_about(finding, figured);
        Sign { at, severity, word, figures: has_figures.then(|| figures(finding, style)).flatten() }
    };
    placed().map(sign).collect()
}

fn middle(place: Place) -> Point {
    match place {
        Place::Point(at) => at,
        Place::Gap(a, b) => a.midpoint(b),
    }
}

fn is_about(finding: &Finding, ids: &BTreeSet<PlacementId>) -> bool {
    finding.subjects.iter().any(|subject| match subject {
        Subject::Placement(id) => ids.contains(id),
        Subject::Mold(_) | Subject::Stock => false,
    })
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

    fn first(finding: &Finding) -> BTreeSet<PlacementId> {
        let Subject::Placement(id) = finding.subjects[0] else { panic!("{finding:?}") };
        BTreeSet::from([id])
    }

    fn shown(
        findings: &[Finding],
        figured: &BTreeSet<PlacementId>,
        selection: &BTreeSet<PlacementId>,
    ) -> Vec<Sign> {
        signs(findings, figured, selection, LengthStyle::Millimetres)
    }

    #[test]
    fn the_gap_of_the_sample_has_its_sign_in_its_middle_with_what_it_is_and_should_be() {
        let close = close();
        let Some(Place::Gap(a, b)) = close.place else { panic!("{close:?}") };
        let none = BTreeSet::new();
        let signs = shown(std::slice::from_ref(&close), &none, &none);
        assert_eq!((signs[0].at, signs[0].word), (a.midpoint(b), Some("too close")));
        let figures = signs[0].figures.as_deref().expect("figures");
        assert!(figures.contains(" of ") && figures.matches("mm").count() == 1, "{figures}");
    }

    #[test]
    fn the_figures_are_left_to_the_gap_while_the_mold_is_on_the_move() {
        let close = close();
        let signs = shown(std::slice::from_ref(&close), &first(&close), &BTreeSet::new());
        assert_eq!((signs[0].word, &signs[0].figures), (Some("too close"), &None));
    }

    #[test]
    fn in_a_crowd_only_stops_and_the_selected_have_words() {
        let none = BTreeSet::new();
        let mut crowd = vec![close(); CROWD];
        assert!(shown(&crowd, &none, &none).iter().all(|sign| sign.word.is_some()));
        crowd.push(Finding { severity: Severity::Stop, ..close() });
        let worded = |selection| {
            shown(&crowd, &none, selection).iter().filter(|sign| sign.word.is_some()).count()
        };
        assert_eq!(worded(&none), 1);
        assert_eq!(worded(&first(&close())), CROWD + 1);
    }

    #[test]
    fn what_has_no_place_has_no_sign() {
        let none = BTreeSet::new();
        assert_eq!(shown(&[Finding { place: None, ..close() }], &none, &none), []);
    }
}
