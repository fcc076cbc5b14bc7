//! Where the rules have something to say: a ring, a triangle or a crossed square, with a word and the figures.

use std::collections::{BTreeMap, BTreeSet};

use engine::drawing::{Form, Mark, Role};
use engine::geometry::{Point, Rect};
use engine::plan::{PlacementId, Plan, PullId};
use engine::rules::{Finding, Measure, Place, Severity, Subject};
use engine::units::LengthStyle;
use leptos::prelude::*;

use super::super::state::BoardState;
use super::super::words;
use super::path;

/// From one sign to the next where several stand on one mold, in pixels.
const SIGN_PX: f64 = 24.0;

/// One sign on the board.
#[derive(Clone, Debug, PartialEq)]
struct Sign {
    at: Point,
    /// How many other signs stand at the same place before it.
    nth: u32,
    severity: Severity,
    word: &'static str,
    /// What was measured and what is asked, where both are lengths.
    figures: Option<String>,
}

/// The signs of all findings that have a place on the board.
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
        <g class="findings" aria-hidden="true">
            <path class="finding-line" d=lines/>
            {move || signs.get().into_iter().map(sign_view).collect_view()}
        </g>
    }
}

fn sign_view(sign: Sign) -> impl IntoView {
    let shape = match sign.severity {
        Severity::Note => "M0 -8.5a8.5 8.5 0 1 0 0 17a8.5 8.5 0 1 0 0 -17z",
        Severity::Caution => "M0 -10.5L11 8.5H-11z",
        Severity::Stop => "M-9 -9H9V9H-9zM-9 -9L9 9M9 -9L-9 9",
    };
    let aside = f64::from(sign.nth) * SIGN_PX;
    // Where several stand together only the first has room for words; the list beside the board has them all.
    let words = (sign.nth == 0).then(|| {
        view! {
            <text class="sign-word" y="24">{sign.word}</text>
            <text class="sign-figures" y="39">{sign.figures}</text>
        }
    });
    view! {
        <g transform=format!("translate({:.3} {:.3})", sign.at.x, sign.at.y)>
            <g class="constant">
                <g class=format!("sign sign-{}", sign.severity.word()) transform=format!("translate({aside} 0)")>
                    <path class="sign-shape" d=shape/>
                    {words}
                </g>
            </g>
        </g>
    }
}

fn signs_of(board: BoardState) -> Vec<Sign> {
    let pull = board.store.pull().get();
    let moving = board.moving.get();
    board.store.shown().with(|plan| {
        board.marks.with(|marks| {
            board.store.findings().with(|findings| signs(plan, pull, marks, findings, &moving))
        })
    })
}

fn signs(
    plan: &Plan,
    pull: PullId,
    marks: &BTreeMap<PlacementId, Vec<Mark>>,
    findings: &[Finding],
    moving: &BTreeSet<PlacementId>,
) -> Vec<Sign> {
    let mut crowd: BTreeMap<PlacementId, u32> = BTreeMap::new();
    let mut sign = |finding: &Finding| {
        let (at, nth) = match finding.place {
            Some(Place::Point(at)) => (at, 0),
            Some(Place::Gap(a, b)) => (a.midpoint(b), 0),
            None => {
                let id = standing(plan, pull, finding)?;
                let nth = crowd.entry(id).or_default();
                *nth += 1;
                (corner(marks.get(&id)?)?, *nth - 1)
            }
        };
        // The gap's own figure is shown while its mold is on the move.
        let is_moving = finding.subjects.iter().any(|subject| match subject {
            Subject::Placement(id) => moving.contains(id),
            Subject::Mold(_) | Subject::Stock => false,
        });
        let figures = if is_moving { None } else { figures(finding, plan.settings.lengths) };
        let word = words::short(finding.rule);
        Some(Sign { at, nth, severity: finding.severity, word, figures })
    };
    findings.iter().filter_map(&mut sign).collect()
}

/// The first placed mold that a finding without a place is about.
fn standing(plan: &Plan, pull: PullId, finding: &Finding) -> Option<PlacementId> {
    finding.subjects.iter().find_map(|subject| match *subject {
        Subject::Placement(id) => Some(id),
        Subject::Mold(mold) => {
            let placements = &plan.pulls.get(&pull)?.placements;
            placements.iter().find(|(_, p)| p.mold == mold).map(|(id, _)| *id)
        }
        Subject::Stock => None,
    })
}

/// The far left corner of a mold's bounds, where its lettering does not reach.
fn corner(marks: &[Mark]) -> Option<Point> {
    let footprints = marks.iter().filter(|mark| mark.role == Role::Mold);
    let bounds = footprints.filter_map(|mark| mark.form.bounds()).reduce(Rect::union)?;
    Some(Point::new(bounds.min.x, bounds.max.y))
}

/// "4.0 mm of 45.5 mm".
fn figures(finding: &Finding, style: LengthStyle) -> Option<String> {
    match (finding.measured, finding.allowed) {
        (Some(Measure::Length(is)), Some(Measure::Length(asked))) => {
            Some(format!("{} of {}", style.show(is), style.show(asked)))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use engine::drawing::draw;
    use engine::plan::sample;
    use engine::rules::{Rule, check};

    use super::*;

    const PULL: PullId = PullId(1);

    fn all(findings: &[Finding], moving: &[u32]) -> Vec<Sign> {
        let plan = sample();
        let mut marks: BTreeMap<PlacementId, Vec<Mark>> = BTreeMap::new();
        for mark in draw(&plan, PULL, &[]).marks {
            if let Some(Subject::Placement(id)) = mark.subject {
                marks.entry(id).or_default().push(mark);
            }
        }
        let moving = moving.iter().copied().map(PlacementId).collect();
        signs(&plan, PULL, &marks, findings, &moving)
    }

    #[test]
    fn the_gap_of_the_sample_has_its_sign_between_its_molds() {
        let findings = check(&sample(), PULL);
        let close: Vec<_> = findings.into_iter().filter(|f| f.rule == Rule::Clearance).collect();
        let Some(Place::Gap(a, b)) = close[0].place else { panic!("{close:?}") };
        let signs = all(&close[..1], &[]);
        assert_eq!(signs[0].at, a.midpoint(b));
        assert_eq!(signs[0].word, "too close");
        assert!(signs[0].figures.as_ref().is_some_and(|figures| figures.contains(" mm of ")));
        let Subject::Placement(id) = close[0].subjects[0] else { panic!("{close:?}") };
        assert_eq!(all(&close[..1], &[id.0])[0].figures, None);
    }

    #[test]
    fn what_has_no_place_stands_at_its_mold_side_by_side() {
        let mold = sample().pulls[&PULL].placements[&PlacementId(2)].mold;
        let finding = Finding {
            rule: Rule::Tall,
            severity: Severity::Stop,
            subjects: vec![Subject::Mold(mold)],
            place: None,
            measured: None,
            allowed: None,
        };
        let signs = all(&[finding.clone(), finding], &[]);
        assert_eq!(signs.iter().map(|sign| sign.nth).collect::<Vec<_>>(), [0, 1]);
        assert_eq!(signs[0].at, signs[1].at);
    }

    #[test]
    fn what_is_about_the_sheet_has_no_sign() {
        let finding = Finding {
            rule: Rule::Texture,
            severity: Severity::Note,
            subjects: vec![Subject::Stock],
            place: None,
            measured: None,
            allowed: None,
        };
        assert_eq!(all(&[finding], &[]), []);
    }
}
