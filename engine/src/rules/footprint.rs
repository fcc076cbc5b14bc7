//! Footprints that bound no surface: crossing themselves, open or empty. Nothing else is measured of those.

use super::bench::Bench;
use super::voice::{Voice, Words};
use super::{Finding, Place, Rule, Severity, Subject};
use crate::geometry::{Point, Problem, problems, tolerance};

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for (id, ready) in bench.molds() {
        let Some(problem) = ready.problem() else { continue };
        let pose = bench.pull.placements.values().find(|p| p.mold == id).map(|p| p.pose);
        let place = pose.zip(place(&problem)).map(|(pose, at)| Place::Point(pose.apply(at)));
        found.push(Finding {
            rule: Rule::Footprint,
            severity: Severity::Stop,
            subjects: vec![Subject::Mold(id)],
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

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, check_words, found, layout, outlined};
    use super::*;

    #[test]
    fn an_outline_that_crosses_itself_is_no_footprint() {
        let bow = outlined(&[(0.0, 0.0), (20.0, 20.0), (20.0, 0.0), (0.0, 20.0)]);
        let plan = layout(&[(&bow, &[(200.0, 150.0, 0.0)])]);
        check_words(
            &plan,
            Rule::Footprint,
            &[[
                "stop",
                "Kelp has no sound footprint",
                "Its outline bounds no surface, so nothing can be measured from it. Here the outer outline meets \
                 itself at (0.000, 0.000) mm: move the corners apart there.",
                "Edit the outline of Kelp, or draw it again with corners that run once round it.",
            ]],
        );
    }

    #[test]
    fn the_place_is_on_the_blank_where_the_first_one_stands() {
        let bow = outlined(&[(0.0, 0.0), (20.0, 20.0), (20.0, 0.0), (0.0, 20.0)]);
        let plan = layout(&[(&bow, &[(200.0, 150.0, 90.0), (50.0, 50.0, 0.0)])]);
        let places: Vec<_> =
            found(&plan, Rule::Footprint).iter().map(|finding| finding.place).collect();
        assert_eq!(places, [Some(Place::Point(Point::new(200.0, 150.0)))]);
    }

    #[test]
    fn outlines_without_surface_or_corners_are_told_and_not_measured() {
        for corners in [&[][..], &[(0.0, 0.0)], &[(0.0, 0.0), (30.0, 30.0), (60.0, 60.0)]] {
            let line = outlined(corners);
            let plan = layout(&[(&line, &[(0.0, 0.0, 0.0), (2.0, 0.0, 0.0)])]);
            let rules: Vec<Rule> =
                super::super::check(&plan, PULL).iter().map(|f| f.rule).collect();
            assert_eq!(rules, [Rule::Footprint, Rule::Copies], "{corners:?}");
        }
    }

    #[test]
    fn a_sound_outline_passes_and_so_does_one_with_a_corner_twice() {
        let square = outlined(&[(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (20.0, 20.0), (0.0, 20.0)]);
        let plan = layout(&[(&square, &[(200.0, 150.0, 0.0)])]);
        check_words(&plan, Rule::Footprint, &[]);
    }
}
