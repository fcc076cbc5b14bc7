//! Footprints that bound no surface: crossing themselves, open or empty. Nothing else is measured of those.

use super::bench::Bench;
use super::voice::{Voice, Words};
use super::{Finding, Place, Rule, Severity, Subject};
use crate::geometry::{Point, Problem, problems, tolerance};

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for ready in bench.molds() {
        let Some(problem) = ready.first_problem() else { continue };
        let pose = bench.pull.placements.values().find(|p| p.mold == ready.id).map(|p| p.pose);
        let place = pose.zip(place(&problem)).map(|(pose, at)| Place::Point(pose.apply(at)));
        found.push(Finding {
            rule: Rule::Footprint,
            severity: Severity::Stop,
            subjects: vec![Subject::Mold(ready.id)],
            place,
            measured: None,
            allowed: None,
        });
    }
}

/// The first problem that keeps a footprint from bounding a surface; a corner given twice does not.
pub(super) fn first_harmful(problems: &[Problem]) -> Option<Problem> {
    problems.iter().find(|problem| !matches!(problem, Problem::RepeatedCorner { .. })).copied()
}

/// Where the problem is, in the mold's own coordinates.
const fn place(problem: &Problem) -> Option<Point> {
    match problem {
        Problem::NotFinite { .. } | Problem::TooFewCorners { .. } | Problem::NoArea { .. } => None,
        Problem::RepeatedCorner { at, .. }
        | Problem::Spike { at, .. }
        | Problem::SelfCrossing { at, .. }
        | Problem::OutlinesCrossing { at, .. }
        | Problem::HoleOutside { at, .. }
        | Problem::CutApart { at } => Some(*at),
    }
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let name = voice.first_name(finding);
    let region = voice.first_mold(finding).map(|mold| mold.footprint.region(tolerance::MEASURE));
    let problem = region.and_then(|region| first_harmful(&problems(&region)));
    let detail = problem.map_or_else(String::new, |problem| format!(" Here {problem}."));
    Words {
        title: format!("{name} has no sound footprint"),
        reason: format!(
            "Its outline bounds no surface, so nothing can be measured from it.{detail}"
        ),
        next_step: format!(
            "Edit the outline of {name}, or draw it again with corners that run once round it."
        ),
    }
}
