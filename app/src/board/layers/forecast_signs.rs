//! The figures of the forecast's lines, and signs where the sheet webs, spans or gets thin: each where there is room for it.

use std::sync::Arc;

use engine::drape::{Finding, What};
use engine::drawing::Anchor;
use engine::geometry::{Point, Vec2};
use engine::rules::{Place, Severity};
use engine::units::LengthStyle;

use super::super::lettered::{Beside, Lettered};
use super::super::state::BoardState;
use super::super::viewport::Viewport;
use super::findings::{SIGN_PX, middle, shape};
use super::forecast::{ProbeMark, is_shown};
use super::{findings, molds};
use crate::panels::{Line, use_forecaster};
use crate::reactive::prelude::*;

/// More signs than this are left to the list beside the board.
const SIGNS: usize = 14;
/// Two signs, and two words, are at least so many pixels apart.
const APART_PX: f64 = 34.0;
const WORDS_APART_PX: f64 = 90.0;
/// Where the rules have a sign, what the forecast warns of stands so far below it.
const ASIDE_PX: f64 = 36.0;
/// How far a sign may step off its place, where something is lettered.
const STEP_PX: f64 = 15.0;
/// The sizes of the lettering.
const WORD_PX: f64 = 14.0;
const FIGURE_PX: f64 = 12.0;
/// How far below its place a figure's foot is, so that the line runs through its middle.
const FIGURE_DOWN: f64 = 4.0;
/// Two figures are at least so many millimetres apart.
const FIGURES_APART: f64 = 22.0;

/// The figures of the lines of equal thickness, and signs; over the molds.
#[component]
pub(in super::super) fn ForecastSigns(board: BoardState, drawn: Memo<Vec<Line>>) -> impl IntoView {
    let forecaster = use_forecaster();
    let is_stale = forecaster.is_stale();
    let px = memo(move |_| 1.0 / board.view.with(Viewport::scale));
    let style = memo(move |_| forecaster.lengths());
    let lettering = memo(move |_| {
        let found = if is_shown(forecaster) { forecaster.found().get() } else { Arc::default() };
        // Not tracked: what the rules find while a hand moves molds is nothing to a forecast that is out of date.
        let of_rules = untrack(|| board.store.findings().get());
        let aside: Vec<_> =
            of_rules.iter().filter_map(|finding| finding.place.map(middle)).collect();
        let mut lettered = Lettered::new(px.get());
        molds::take_lettering(board, 1.0 / px.get(), &mut lettered);
        findings::take_lettering(board, &mut lettered);
        let signs = signs(&found, &aside, &mut lettered);
        (signs, drawn.with(|lines| figures(lines, style.get(), &mut lettered)))
    });
    let signs =
        move || lettering.with(|(signs, _)| signs.iter().copied().map(sign_view).collect_view());
    let figures =
        move || lettering.with(|(_, figures)| figures.iter().map(figure_view).collect_view());
    view! {
        <g class="forecast-signs" class:is-stale=is_stale aria-hidden="true">
            {figures}
            {signs}
        </g>
        <ProbeMark/>
    }
}

/// A figure on a line of equal thickness.
#[derive(Clone, Debug, PartialEq)]
struct Figure {
    at: Point,
    text: String,
}

/// The figures of the lines, each where its line has room for it; without room it has none, since the scale below the board
/// tells the colours.
fn figures(lines: &[Line], style: LengthStyle, lettered: &mut Lettered) -> Vec<Figure> {
    let mut figures: Vec<Figure> = Vec::new();
    for line in lines {
        let words = style.show_gauge(line.thickness);
        let text = words.rsplit_once(' ').map_or(words.as_str(), |(figure, _)| figure);
        for places in &line.places {
            let covers = |at| {
                let by = (0.0, FIGURE_DOWN);
                lettered.line(at, Beside { by, size: FIGURE_PX, anchor: Anchor::Middle, text })
            };
            let is_apart =
                |at: Point| figures.iter().all(|other| other.at.distance(at) > FIGURES_APART);
            let free =
                places.iter().copied().find(|at| is_apart(*at) && lettered.is_free(covers(*at)));
            if let Some(at) = free {
                lettered.take(covers(at));
                figures.push(Figure { at, text: text.to_owned() });
            }
        }
    }
    figures
}

fn figure_view(figure: &Figure) -> impl IntoView + use<> {
    view! {
        <g transform=format!("translate({:.2} {:.2})", figure.at.x, figure.at.y)>
            <text class="constant forecast-figure" y=FIGURE_DOWN>{figure.text.clone()}</text>
        </g>
    }
}

/// One sign.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Sign {
    at: Point,
    severity: Severity,
    outline: &'static str,
    /// What it means, with how far across and down it stands; left to the list beside the board where there is no room or
    /// another sign's word stands near already.
    word: Option<(&'static str, (f64, f64))>,
    /// Whether it stands below a sign of the rules.
    is_aside: bool,
}

/// What is warned of where it is, the worst first, clear of where the rules have their signs and of what is lettered.
fn signs(found: &[Finding], of_rules: &[Point], lettered: &mut Lettered) -> Vec<Sign> {
    let px = lettered.px();
    let mut signs: Vec<Sign> = Vec::new();
    for finding in found {
        let Place::Point(at) = finding.place else { continue };
        let is_aside = of_rules.iter().any(|taken| taken.distance(at) / px < APART_PX);
        // The board's y runs away from the person.
        let at = if is_aside { at + Vec2::new(0.0, -ASIDE_PX * px) } else { at };
        let at = stepped(at, lettered);
        let nearest = |is_worded: bool| {
            let others = signs.iter().filter(|sign| !is_worded || sign.word.is_some());
            others.map(|sign| sign.at.distance(at) / px).fold(f64::INFINITY, f64::min)
        };
        if nearest(false) < APART_PX || signs.len() == SIGNS {
            continue;
        }
        let (outline, word) = mark(finding.what, finding.severity);
        let is_far = nearest(true) > WORDS_APART_PX;
        let word = is_far.then(|| word_at(at, word, is_aside, lettered)).flatten();
        // Its own word may stand closer to a sign than others.
        lettered.take(lettered.sign(at, SIGN_PX));
        signs.push(Sign { at, severity: finding.severity, outline, word, is_aside });
    }
    signs
}

/// The place of a sign, or one beside it where that is lettered.
fn stepped(at: Point, lettered: &Lettered) -> Point {
    let steps = [(0.0, 0.0), (-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)];
    let step = STEP_PX * lettered.px();
    let mut places = steps.iter().map(|(across, up)| at + Vec2::new(across * step, up * step));
    places.find(|place| lettered.is_free(lettered.sign(*place, SIGN_PX))).unwrap_or(at)
}

/// A sign's word above it, below it, on its right or on its left, wherever there is room; takes the room.
fn word_at(
    at: Point,
    word: &'static str,
    is_aside: bool,
    lettered: &mut Lettered,
) -> Option<(&'static str, (f64, f64))> {
    let line = |by| Beside { by, size: WORD_PX, anchor: Anchor::Middle, text: word };
    let beside = SIGN_PX[0] + 4.0 + lettered.line(at, line((0.0, 0.0))).width().to_mm() / 2.0;
    let (above, below) = ((0.0, -13.0), (0.0, 22.0));
    let upright = if is_aside { [below, above] } else { [above, below] };
    let places = upright.into_iter().chain([(beside, 5.0), (-beside, 5.0)]);
    let mut free = places.map(|by| (by, lettered.line(at, line(by))));
    let (by, covered) = free.find(|(_, covered)| lettered.is_free(*covered))?;
    lettered.take(covered);
    Some((word, by))
}

/// The shape and the word: a zigzag for a web, a bow for a bridged corner, the shapes of findings for thin sheet.
const fn mark(what: What, severity: Severity) -> (&'static str, &'static str) {
    match (what, severity) {
        (What::Split, _) => (shape(Severity::Stop), "may split"),
        (What::Thin, severity) => (shape(severity), "thin"),
        (What::Span, _) => ("M-12 6L-6 -7L0 6L6 -7L12 6", "spans"),
        (What::Fold, Severity::Note) => ("M-12 6L-6 -7L0 6L6 -7L12 6", "may web"),
        (What::Fold, Severity::Caution | Severity::Stop) => {
            ("M-12 6L-6 -7L0 6L6 -7L12 6", "web likely")
        }
        (What::Bridge, _) => ("M-10 7V-7M-10 7H10M-10 -7Q-10 7 10 7", "not filled"),
    }
}

fn sign_view(sign: Sign) -> impl IntoView {
    let place = format!("translate({:.2} {:.2})", sign.at.x, sign.at.y);
    let word =
        sign.word.map(|(word, (x, y))| view! { <text class="sign-word" x=x y=y>{word}</text> });
    view! {
        <g transform=place>
            <g class=format!("constant sign sign-{}", sign.severity.word())>
                <path class="sign-shape-under" d=sign.outline/>
                <path class="sign-shape" d=sign.outline/>
                {word}
            </g>
        </g>
    }
}

#[cfg(test)]
mod tests {
    use engine::drape::{Settings, findings, forecast};
    use engine::plan::{PullId, sample};
    use engine::rules::Measure;
    use engine::units::Length;

    use super::*;
    use crate::panels::lines;

    #[test]
    fn signs_and_their_words_keep_apart_and_the_worst_is_never_left_out() {
        let settings = Settings { mesh: Length::mm(6.0), ..Settings::default() };
        let told = forecast(&sample(), PullId(1), &settings, &mut ()).expect("a forecast");
        let found = findings(&told, Length::mm(1.0));
        assert!(!found.is_empty());
        for px in [0.1, 0.5, 2.0] {
            let signs = signs(&found, &[], &mut Lettered::new(px));
            assert_eq!(signs[0].severity, found[0].severity);
            assert!(signs[0].word.is_some());
            for (nth, one) in signs.iter().enumerate() {
                for other in &signs[..nth] {
                    let apart = one.at.distance(other.at) / px;
                    let both = one.word.is_some() && other.word.is_some();
                    assert!(apart >= if both { WORDS_APART_PX } else { APART_PX }, "{apart}");
                }
            }
        }
    }

    #[test]
    fn where_the_rules_have_a_sign_a_warning_stands_below_it() {
        let at = Point::new(100.0, 100.0);
        let finding = Finding {
            what: What::Span,
            severity: Severity::Note,
            subjects: Vec::new(),
            place: Place::Point(at),
            measured: Measure::Count(1),
            allowed: None,
            why: None,
        };
        let told = |of_rules: &[Point]| {
            signs(std::slice::from_ref(&finding), of_rules, &mut Lettered::new(0.5))
        };
        let clear = told(&[Point::new(0.0, 0.0)]);
        assert_eq!((clear[0].at, clear[0].is_aside), (at, false));
        let aside = told(&[at]);
        assert_eq!((aside[0].at, aside[0].is_aside), (Point::new(100.0, 82.0), true));
    }

    #[test]
    fn words_and_figures_lie_on_nothing_that_is_lettered() {
        let settings = Settings { mesh: Length::mm(6.0), ..Settings::default() };
        let told = forecast(&sample(), PullId(1), &settings, &mut ()).expect("a forecast");
        let (found, lines) = (findings(&told, Length::mm(1.0)), lines(&told));
        for px in [0.2, 0.5, 1.0] {
            let whole = |names: &[Point]| {
                let mut lettered = Lettered::new(px);
                for name in names {
                    lettered.take(lettered.sign(*name, [40.0, 12.0]));
                }
                let signs = signs(&found, &[], &mut lettered);
                (signs, figures(&lines, LengthStyle::Millimetres, &mut lettered))
            };
            let (signs, free) = whole(&[]);
            assert!(!free.is_empty());
            // Names stand where figures and signs would like to.
            let names: Vec<Point> =
                free.iter().map(|figure| figure.at).chain([signs[0].at]).collect();
            let (_, figures) = whole(&names);
            let board = Lettered::new(px);
            let covers = |figure: &Figure| {
                let by = (0.0, FIGURE_DOWN);
                let line =
                    Beside { by, size: FIGURE_PX, anchor: Anchor::Middle, text: &figure.text };
                board.line(figure.at, line)
            };
            for (nth, figure) in figures.iter().enumerate() {
                let is_on =
                    |name: &Point| board.sign(*name, [40.0, 12.0]).intersection(covers(figure));
                assert!(!names.iter().any(|name| is_on(name).is_some()), "{figure:?}");
                let others = figures[..nth].iter();
                assert!(
                    others
                        .clone()
                        .all(|other| covers(other).intersection(covers(figure)).is_none())
                );
                assert!(others.clone().all(|other| other.at.distance(figure.at) > FIGURES_APART));
            }
        }
    }

    #[test]
    fn a_word_goes_below_or_aside_where_a_name_stands_above_and_a_sign_steps_off_a_name() {
        let mut lettered = Lettered::new(1.0);
        let at = Point::new(100.0, 100.0);
        lettered.take(lettered.sign(Point::new(100.0, 118.0), [30.0, 5.0]));
        let below = word_at(at, "thin", false, &mut lettered).expect("room below");
        assert_eq!(below, ("thin", (0.0, 22.0)));
        let right = word_at(at, "thin", false, &mut lettered).expect("room on the right");
        assert!(right.1.0 > 12.0);
        let mut lettered = Lettered::new(1.0);
        assert_eq!(stepped(at, &lettered), at);
        lettered.take(lettered.sign(Point::new(112.0, 100.0), [10.0, 4.0]));
        assert_eq!(stepped(at, &lettered), Point::new(85.0, 100.0));
    }
}
