//! Where the rules have something to say: a ring, a triangle or a crossed square, with a word and the figures.

use std::collections::BTreeSet;

use engine::drawing::{Anchor, Form, Mark, Role};
use engine::geometry::Point;
use engine::plan::PlacementId;
use engine::rules::{Finding, Measure, Place, Severity, Subject};
use engine::units::LengthStyle;

use super::super::lettered::{Beside, Lettered};
use super::super::state::BoardState;
use super::super::words;
use super::path;
use crate::reactive::prelude::*;

/// With more signs than this only the selected molds and what stops the pull have words.
const CROWD: usize = 8;

/// What a sign covers, from its middle across and up or down, in pixels.
pub(super) const SIGN_PX: [f64; 2] = [12.0, 11.0];

/// One sign on the board.
#[derive(Clone, Debug, PartialEq)]
struct Sign {
    at: Point,
    severity: Severity,
    /// What is wrong; left to the list beside the board where signs crowd.
    word: Option<&'static str>,
    /// What was measured and what is asked, where both are lengths.
    figures: Option<String>,
    side: Side,
    /// Whether the gap is on the move and has figures of its own there.
    is_moved: bool,
}

impl Sign {
    /// Where the word begins and where the figures do, across and down from the sign in pixels.
    const fn places(&self) -> [(i32, i32); 2] {
        match (self.side, self.is_moved, self.figures.is_some()) {
            (Side::Above, true, _) => [(0, -29), (0, -14)],
            // The longer line stands higher, where molds are slimmer and their numbers are not.
            (Side::Above, false, _) => [(0, -15), (0, -30)],
            (Side::Beside, false, false) => [(14, 5), (14, 5)],
            (Side::Beside, ..) => [(14, -10), (14, 5)],
            (Side::Below, ..) => [(0, 24), (0, 39)],
        }
    }
}

/// Where the lettering of a sign stands: where the least of what is written on molds does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    /// Between molds beside one another, whose names stand below their middles.
    Above,
    /// Between molds behind one another.
    Beside,
    /// At a single place.
    Below,
}

impl Side {
    fn of(place: Place) -> Self {
        match place {
            Place::Point(_) => Self::Below,
            Place::Gap(a, b) if (b.y - a.y).abs() > (b.x - a.x).abs() => Self::Beside,
            Place::Gap(..) => Self::Above,
        }
    }
}

/// The signs of all findings that have a place on the board; the others are written on their molds.
#[component]
pub(in super::super) fn Findings(board: BoardState) -> impl IntoView {
    let signs = memo(move |_| signs_of(board));
    let count = memo(move |_| signs.with(Vec::len));
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
    let sign = memo(move |before: Option<&Option<Sign>>| {
        signs.with(|signs| signs.get(nth).cloned()).or_else(|| before.cloned().flatten())
    });
    let of = move |read: fn(&Sign) -> String| {
        memo(move |_| sign.with(|sign| sign.as_ref().map(read)).unwrap_or_default())
    };
    let place = of(|sign| format!("translate({:.3} {:.3})", sign.at.x, sign.at.y));
    let class = of(|sign| format!("constant sign sign-{}", sign.severity.word()));
    let outline = of(|sign| shape(sign.severity).to_owned());
    let word = of(|sign| sign.word.unwrap_or_default().to_owned());
    let figures = of(|sign| sign.figures.clone().unwrap_or_default());
    let at = memo(move |_| sign.with(|sign| sign.as_ref().map_or([(0, 0); 2], Sign::places)));
    view! {
        <g transform=place>
            <g class=class>
                <path class="sign-shape" d=outline/>
                <SignText class="sign-word" at=Signal::derive(move || at.get()[0]) text=word/>
                <SignText class="sign-figures" at=Signal::derive(move || at.get()[1]) text=figures/>
            </g>
        </g>
    }
}

/// A line of lettering under a sign; in a crowd most have none, and an empty one would be laid out all the same.
#[component]
fn SignText(class: &'static str, at: Signal<(i32, i32)>, text: Memo<String>) -> impl IntoView {
    let is_said = memo(move |_| text.with(|text| !text.is_empty()));
    let text = move || {
        let is_beside = move || at.get().0 > 0;
        view! {
            <text class=class class:sign-beside=is_beside x=move || at.get().0 y=move || at.get().1>
                {text}
            </text>
        }
    };
    move || is_said.get().then(text)
}

/// A ring, a triangle or a crossed square about the origin, in pixels.
pub(super) const fn shape(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "M0 -8.5a8.5 8.5 0 1 0 0 17a8.5 8.5 0 1 0 0 -17z",
        Severity::Caution => "M0 -10.5L11 8.5H-11z",
        Severity::Stop => "M-9 -9H9V9H-9zM-9 -9L9 9M9 -9L-9 9",
    }
}

/// Takes the places of the signs and of what is written at them, as they are at this moment.
pub(super) fn take_lettering(board: BoardState, lettered: &mut Lettered) {
    for sign in untrack(|| signs_of(board)) {
        lettered.take(lettered.sign(sign.at, SIGN_PX));
        let anchor = if sign.side == Side::Beside { Anchor::Start } else { Anchor::Middle };
        let lines = [(14.0, sign.word), (13.0, sign.figures.as_deref())];
        for ((x, y), (size, text)) in sign.places().into_iter().zip(lines) {
            let by = (f64::from(x), f64::from(y));
            let beside = text.map(|text| Beside { by, size, anchor, text });
            beside.into_iter().for_each(|beside| lettered.take(lettered.line(sign.at, beside)));
        }
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
    let placed = || findings.iter().filter_map(|finding| Some((finding, finding.place?)));
    let is_crowded = placed().count() > CROWD;
    let sign = |(finding, place): (&Finding, Place)| {
        let severity = finding.severity;
        let is_quiet = is_crowded && severity < Severity::Stop && !is_about(finding, selection);
        let word = (!is_quiet).then(|| words::short(finding.rule));
        let is_moved = is_about(finding, figured);
        let figures = (word.is_some() && !is_moved).then(|| figures(finding, style)).flatten();
        Sign { at: middle(place), severity, word, figures, side: Side::of(place), is_moved }
    };
    placed().map(sign).collect()
}

/// Where the sign of a place is.
pub(super) fn middle(place: Place) -> Point {
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
    fn lettering_stands_above_a_flat_gap_and_beside_a_steep_one_and_makes_room_on_the_move() {
        let close = close();
        let [still, moved] = [BTreeSet::new(), first(&close)]
            .map(|figured| shown(std::slice::from_ref(&close), &figured, &BTreeSet::new()));
        assert_eq!(
            still[0].side,
            Side::Above,
            "the limpet and the anemone base stand side by side"
        );
        // What the sign says of a gap on the move stands above the figure that the gap has then.
        assert_eq!(still[0].places().map(|(_, y)| y), [-15, -30]);
        assert_eq!(moved[0].places()[0], (0, -29));
        let steep = Place::Gap(Point::new(0.0, 0.0), Point::new(4.0, 30.0));
        assert_eq!(Side::of(steep), Side::Beside);
        assert_eq!(Side::of(Place::Point(Point::ORIGIN)), Side::Below);
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
