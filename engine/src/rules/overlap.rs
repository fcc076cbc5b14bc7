//! Molds that share a place.

use super::bench::Bench;
use super::voice::{Voice, Words};
use super::{Finding, Measure, Place, Rule, Severity, Subject};
use crate::units::Length;

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    found.extend(bench.close_pairs().iter().filter(|pair| pair.is_overlapping).map(|pair| {
        Finding {
            rule: Rule::Overlap,
            severity: Severity::Stop,
            subjects: pair.ids.map(Subject::Placement).to_vec(),
            place: Some(Place::Point(pair.gap.from)),
            measured: Some(Measure::Length(Length::ZERO)),
            allowed: Some(Measure::Length(pair.allowed)),
        }
    }));
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let names = voice.both_names(finding);
    let [_, allowed] = voice.figures(finding);
    Words {
        title: format!("{names} overlap"),
        reason: format!("{names} share a place on the platen; {allowed} between them is asked."),
        next_step: "Move or turn one of them, or take it off the blank.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, check_words, found, layout};
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn molds_that_share_a_place_overlap_and_are_not_also_too_close() {
        let (limpet, crab) = (block("Limpet", 10.0), block("Crab shell", 20.0));
        let plan = layout(&[(&limpet, &[(100.0, 150.0, 0.0)]), (&crab, &[(139.0, 150.0, 0.0)])]);
        check_words(
            &plan,
            Rule::Overlap,
            &[[
                "stop",
                "Limpet and Crab shell overlap",
                "Limpet and Crab shell share a place on the platen; 35.0 mm between them is asked.",
                "Move or turn one of them, or take it off the blank.",
            ]],
        );
        check_words(&plan, Rule::Clearance, &[]);
    }

    #[test]
    fn one_mold_on_top_of_another_overlaps_it() {
        let limpet = block("Limpet", 10.0);
        let plan = layout(&[(&limpet, &[(200.0, 150.0, 0.0), (200.0, 150.0, 0.0)])]);
        let places: Vec<_> = found(&plan, Rule::Overlap).iter().map(|f| f.place).collect();
        let is_inside = |place: &Option<Place>| match place {
            Some(Place::Point(at)) => at.distance(Point::new(200.0, 150.0)) < 30.0,
            _ => false,
        };
        assert!(places.len() == 1 && places.iter().all(is_inside), "{places:?}");
    }

    #[test]
    fn molds_that_only_touch_do_not_overlap() {
        let (limpet, crab) = (block("Limpet", 10.0), block("Crab shell", 20.0));
        let plan = layout(&[(&limpet, &[(100.0, 150.0, 0.0)]), (&crab, &[(140.0, 150.0, 0.0)])]);
        check_words(&plan, Rule::Overlap, &[]);
        assert_eq!(found(&plan, Rule::Clearance).len(), 1);
    }
}
