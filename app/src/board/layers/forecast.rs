//! The forecast over the board: thickness in colours, lines of equal thickness with figures, and signs where the sheet
//! webs, spans or gets thin.

use engine::drape::{Finding, What};
use engine::geometry::{Point, Rect, Vec2};
use engine::rules::{Place, Severity};
use leptos::prelude::*;

use super::super::state::BoardState;
use super::super::viewport::Viewport;
use super::findings::{middle, shape};
use crate::memo::memo;
use crate::panels::{Forecaster, Line, lines, pixels, use_forecaster};
use crate::platform::picture_address;

/// From one line of the hatching to the next, in pixels.
const HATCH_PX: f64 = 10.0;
/// More signs than this are left to the list beside the board.
const SIGNS: usize = 14;
/// Two signs, and two words, are at least so many pixels apart.
const APART_PX: f64 = 34.0;
const WORDS_APART_PX: f64 = 90.0;
/// Where the rules have a sign, what the forecast warns of stands so far below it.
const ASIDE_PX: f64 = 36.0;

/// What is shown while the map is on.
fn is_shown(forecaster: Forecaster) -> bool {
    forecaster.is_mapped.get() && forecaster.has_told()
}

/// A picture of the thickness over the opening.
#[derive(Clone, Debug, PartialEq)]
struct Chart {
    address: String,
    bounds: Rect,
}

/// The thickness under the molds. It is drawn when a forecast has come and at no other time: while molds are moved it is
/// only marked.
#[component]
pub(in super::super) fn ForecastMap() -> impl IntoView {
    let forecaster = use_forecaster();
    let is_stale = forecaster.is_stale();
    let chart = memo(move |_| {
        let told = is_shown(forecaster).then(|| forecaster.told()).flatten()?;
        let (size, pixels) = pixels(&told.forecast);
        let address = picture_address(size, &pixels)?;
        Some(Chart { address, bounds: told.forecast.map.bounds })
    });
    let view = move || chart.get().as_ref().map(picture);
    view! {
        <g class="forecast" class:is-stale=is_stale aria-hidden="true">
            {view}
        </g>
    }
}

fn picture(chart: &Chart) -> impl IntoView + use<> {
    let Rect { min, max } = chart.bounds;
    let (width, depth) = (max.x - min.x, max.y - min.y);
    // The board's y runs away from the person, a picture's downwards.
    let flip = format!("matrix(1 0 0 -1 0 {})", min.y + max.y);
    view! {
        <image
            class="forecast-map"
            href=chart.address.clone()
            x=min.x
            y=min.y
            width=width
            height=depth
            preserveAspectRatio="none"
            transform=flip
        />
        <rect class="forecast-stale" x=min.x y=min.y width=width height=depth/>
    }
}

/// The hatching of a map that is out of date.
#[component]
pub(in super::super) fn StaleHatching(board: BoardState) -> impl IntoView {
    let scale = memo(move |_| board.view.with(Viewport::scale));
    view! {
        <pattern
            id="stale-hatch"
            patternUnits="userSpaceOnUse"
            width=HATCH_PX
            height=HATCH_PX
            patternTransform=move || format!("scale({}) rotate(-45)", 1.0 / scale.get())
        >
            <line class="stale-line" x1="0" y1="0" x2="0" y2=HATCH_PX/>
        </pattern>
    }
}

/// Lines of equal thickness with their figures, and signs; over the molds.
#[component]
pub(in super::super) fn ForecastSigns(board: BoardState) -> impl IntoView {
    let forecaster = use_forecaster();
    let is_stale = forecaster.is_stale();
    let drawn = memo(move |_| {
        let told = is_shown(forecaster).then(|| forecaster.told()).flatten();
        told.map_or_else(Vec::new, |told| lines(&told.forecast))
    });
    let data = memo(move |_| {
        drawn.with(|lines| lines.iter().map(|line| line.data.as_str()).collect::<String>())
    });
    let figures = move || drawn.with(|lines| figures(forecaster, lines));
    let px = memo(move |_| 1.0 / board.view.with(Viewport::scale));
    let signs = memo(move |_| {
        let found = is_shown(forecaster).then(|| forecaster.found().get());
        // Not tracked: what the rules find while a hand moves molds is nothing to a forecast that is out of date.
        let of_rules = untrack(|| board.store.findings().get());
        let taken: Vec<_> =
            of_rules.iter().filter_map(|finding| finding.place.map(middle)).collect();
        found.map_or_else(Vec::new, |found| signs(&found, &taken, px.get()))
    });
    view! {
        <g class="forecast-signs" class:is-stale=is_stale aria-hidden="true">
            <path class="forecast-line-under" d=data/>
            <path class="forecast-line" d=data/>
            {figures}
            {move || signs.get().into_iter().map(sign_view).collect_view()}
        </g>
        <ProbeMark/>
    }
}

fn figures(forecaster: Forecaster, lines: &[Line]) -> impl IntoView + use<> {
    let style = forecaster.lengths();
    let figure = move |line: &Line| {
        let words = style.show_gauge(line.thickness);
        let words = words.rsplit_once(' ').map_or(words.as_str(), |(figure, _)| figure).to_owned();
        let one = |at: &Point| {
            view! {
                <g transform=format!("translate({:.2} {:.2})", at.x, at.y)>
                    <text class="constant forecast-figure" y="4">{words.clone()}</text>
                </g>
            }
        };
        line.figures.iter().map(one).collect_view()
    };
    lines.iter().map(figure).collect_view()
}

/// One sign.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Sign {
    at: Point,
    severity: Severity,
    outline: &'static str,
    /// What it means; left to the list beside the board where another sign's word stands already.
    word: Option<&'static str>,
    /// Whether it stands below a sign of the rules, and its word below it.
    is_aside: bool,
}

/// What is warned of where it is, the worst first, clear of where the rules have their signs; `px` are the millimetres that
/// a pixel is worth.
fn signs(found: &[Finding], taken: &[Point], px: f64) -> Vec<Sign> {
    let mut signs: Vec<Sign> = Vec::new();
    for finding in found {
        let Place::Point(at) = finding.place else { continue };
        let is_aside = taken.iter().any(|taken| taken.distance(at) / px < APART_PX);
        // The board's y runs away from the person.
        let at = if is_aside { at + Vec2::new(0.0, -ASIDE_PX * px) } else { at };
        let nearest = |is_worded: bool| {
            let others = signs.iter().filter(|sign| !is_worded || sign.word.is_some());
            others.map(|sign| sign.at.distance(at) / px).fold(f64::INFINITY, f64::min)
        };
        if nearest(false) < APART_PX || signs.len() == SIGNS {
            continue;
        }
        let (outline, word) = mark(finding.what, finding.severity);
        let word = (nearest(true) > WORDS_APART_PX).then_some(word);
        signs.push(Sign { at, severity: finding.severity, outline, word, is_aside });
    }
    signs
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
    let y = if sign.is_aside { 22 } else { -13 };
    let place = format!("translate({:.2} {:.2})", sign.at.x, sign.at.y);
    view! {
        <g transform=place>
            <g class=format!("constant sign sign-{}", sign.severity.word())>
                <path class="sign-shape-under" d=sign.outline/>
                <path class="sign-shape" d=sign.outline/>
                {sign.word.map(|word| view! { <text class="sign-word" y=y>{word}</text> })}
            </g>
        </g>
    }
}

/// The place that is read.
#[component]
fn ProbeMark() -> impl IntoView {
    let forecaster = use_forecaster();
    let at = memo(move |_| {
        let probe = forecaster.probe.get().filter(|probe| probe.is_kept)?;
        forecaster.is_mapped.get().then_some(probe.at)
    });
    move || {
        at.get().map(|at| {
            view! {
                <g transform=format!("translate({:.2} {:.2})", at.x, at.y) class="probe" aria-hidden="true">
                    <g class="constant">
                        <path class="probe-under" d="M-12 0H-4M4 0H12M0 -12V-4M0 4V12"/>
                        <path class="probe-line" d="M-12 0H-4M4 0H12M0 -12V-4M0 4V12"/>
                    </g>
                </g>
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use engine::drape::{Settings, findings, forecast};
    use engine::plan::{PullId, sample};
    use engine::rules::Measure;
    use engine::units::Length;

    use super::*;

    #[test]
    fn signs_and_their_words_keep_apart_and_the_worst_is_never_left_out() {
        let settings = Settings { mesh: Length::mm(6.0), ..Settings::default() };
        let told = forecast(&sample(), PullId(1), &settings, &mut ()).expect("a forecast");
        let found = findings(&told, Length::mm(1.0));
        assert!(!found.is_empty());
        for px in [0.1, 0.5, 2.0] {
            let signs = signs(&found, &[], px);
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
        let clear = signs(std::slice::from_ref(&finding), &[Point::new(0.0, 0.0)], 0.5);
        assert_eq!((clear[0].at, clear[0].is_aside), (at, false));
        let aside = signs(&[finding], &[at], 0.5);
        assert_eq!((aside[0].at, aside[0].is_aside), (Point::new(100.0, 82.0), true));
    }
}
