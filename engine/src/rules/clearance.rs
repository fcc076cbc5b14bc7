//! Molds that stand closer than their clearance: between them the sheet webs or thins.

use super::bench::Bench;
use super::voice::{Voice, Words, allowed_length, measured_length};
use super::{Finding, Measure, Place, Rule, Severity, Subject};
use crate::physics::webbing::floor_strip;
use crate::plan::{HeightBasis, Mold, MoldKind};

pub(super) fn check(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    found.extend(bench.close_pairs().iter().filter(|pair| !pair.is_overlapping).map(|pair| {
        Finding {
            rule: Rule::Clearance,
            severity: Severity::Caution,
            subjects: pair.ids.map(Subject::Placement).to_vec(),
            place: Some(Place::Gap(pair.gap.from, pair.gap.to)),
            measured: Some(Measure::Length(pair.gap.distance)),
            allowed: Some(Measure::Length(pair.allowed)),
        }
    }));
}

pub(super) fn words(finding: &Finding, voice: &Voice<'_>) -> Words {
    let names = voice.both_names(finding);
    let [measured, allowed] = voice.figures(finding);
    let pair = match finding.subjects[..] {
        [one, other] => voice.mold(one).zip(voice.mold(other)),
        _ => None,
    };
    let asked = pair.map(|(a, b)| asked_by(finding, voice, [a, b]));
    let (because, setting) = asked.unwrap_or_default();
    let outlook = pair.map_or_else(String::new, |(a, b)| outlook(finding, [a, b]));
    let missing = voice.enough(allowed_length(finding) - measured_length(finding));
    Words {
        title: format!("{names} stand too close"),
        reason: format!("{names} stand {measured} apart; {allowed} is asked{because}.{outlook}"),
        next_step: format!("Move them {missing} farther apart{setting}."),
    }
}

/// Which of the three parts of the rule asks the most, and what could be changed about it.
fn asked_by(finding: &Finding, voice: &Voice<'_>, molds: [&Mold; 2]) -> (String, &'static str) {
    let rule = voice.plan.settings.clearance;
    let allowed = allowed_length(finding);
    if allowed <= rule.least {
        let because = ", the least gap whatever the heights".to_owned();
        return (because, ", or lower the least gap in Settings");
    }
    if allowed <= molds[0].trim + molds[1].trim {
        let because = ", the trim allowances of both".to_owned();
        return (because, ", or give one of them a smaller trim allowance");
    }
    let height = match rule.basis {
        HeightBasis::Taller => "the taller height",
        HeightBasis::Mean => "the mean height",
    };
    let because = format!(
        ", {factor} x {height} of {shown}",
        factor = rule.factor,
        shown = voice.length(allowed / rule.factor)
    );
    (because, ", or lower the clearance factor in Settings if your sheet allows it")
}

/// What to expect: webs below the taller height, and how thin the strip between two male molds gets.
fn outlook(finding: &Finding, molds: [&Mold; 2]) -> String {
    let gap = measured_length(finding);
    let heights = molds.map(Mold::standing_height);
    let webs = if gap < heights[0].max(heights[1]) {
        " Webs are to be expected"
    } else {
        " The sheet may web"
    };
    if molds.iter().any(|mold| mold.kind == MoldKind::Female) {
        return format!("{webs}.");
    }
    let kept = floor_strip(gap, heights) * 100.0;
    format!("{webs}, and the strip between them keeps about {kept:.0} % of the gauge.")
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{PULL, block, check_words, found, layout};
    use super::*;
    use crate::geometry::Vec2;
    use crate::plan::{Footprint, Plan};
    use crate::units::{Length, LengthStyle};

    fn pair(first: &Mold, other: &Mold, apart: f64) -> Plan {
        let at = (100.0, 150.0, 0.0);
        layout(&[(first, &[at]), (other, &[(140.0 + apart, 150.0, 0.0)])])
    }

    #[test]
    fn molds_closer_than_a_factor_of_the_taller_height_are_told_with_what_to_do() {
        let plan = pair(&block("Limpet", 10.0), &block("Crab shell", 20.0), 31.2);
        check_words(
            &plan,
            Rule::Clearance,
            &[[
                "caution",
                "Limpet and Crab shell stand too close",
                "Limpet and Crab shell stand 31.2 mm apart; 35.0 mm is asked, 1.75 x the taller height of 20.0 mm. \
                 The sheet may web, and the strip between them keeps about 51 % of the gauge.",
                "Move them 3.8 mm farther apart, or lower the clearance factor in Settings if your sheet allows it.",
            ]],
        );
        let Some(Place::Gap(from, to)) = found(&plan, Rule::Clearance)[0].place else {
            panic!("a gap")
        };
        assert!(to.distance(from + Vec2::new(31.2, 0.0)) < 1e-9, "{from:?} {to:?}");
    }

    #[test]
    fn molds_exactly_at_their_clearance_pass_and_a_hundredth_less_does_not() {
        let (limpet, crab) = (block("Limpet", 10.0), block("Crab shell", 20.0));
        check_words(&pair(&limpet, &crab, 35.0), Rule::Clearance, &[]);
        check_words(&pair(&limpet, &crab, 35.0 - 1e-9), Rule::Clearance, &[]);
        assert_eq!(found(&pair(&limpet, &crab, 34.99), Rule::Clearance).len(), 1);
    }

    #[test]
    fn round_molds_are_measured_within_a_hundredth_of_a_millimetre() {
        let round = |diameter| Footprint::Circle { diameter: Length::mm(diameter) };
        let small = Mold { footprint: round(30.0), ..block("Limpet", 30.0) };
        let large = Mold { footprint: round(110.0), ..block("Anemone base", 30.0) };
        for turn in [0.0, 1.3, 17.0, 90.0] {
            let places = [(100.0, 100.0, turn), (172.0, 196.0, 3.0 * turn)];
            let plan = layout(&[(&small, &places[..1]), (&large, &places[1..])]);
            let gap = measured_length(&found(&plan, Rule::Clearance)[0]);
            // The centres stand 120 mm apart.
            assert!((gap - Length::mm(50.0)).abs() < Length::mm(0.01), "{gap:?}");
        }
    }

    #[test]
    fn a_spacer_counts() {
        let raised = Mold { spacer: Length::mm(10.0), ..block("Crab shell", 20.0) };
        let plan = pair(&block("Limpet", 10.0), &raised, 40.0);
        let allowed: Vec<_> = found(&plan, Rule::Clearance).iter().map(|f| f.allowed).collect();
        assert_eq!(allowed, [Some(Measure::Length(Length::mm(52.5)))]);
    }

    #[test]
    fn below_the_taller_height_webs_are_to_be_expected() {
        let plan = pair(&block("Limpet", 10.0), &block("Crab shell", 20.0), 15.0);
        let reason = found(&plan, Rule::Clearance)[0].reason(&plan, PULL);
        assert!(reason.contains("Webs are to be expected"), "{reason}");
    }

    #[test]
    fn what_asks_the_most_is_named() {
        let (low, lower) = (block("Limpet", 3.0), block("Crab shell", 2.0));
        let [_, _, reason, next] = words_of(&pair(&low, &lower, 10.0));
        assert!(
            reason.contains("12.0 mm is asked, the least gap whatever the heights"),
            "{reason}"
        );
        assert!(next.ends_with("or lower the least gap in Settings."), "{next}");
        let trimmed = Mold { trim: Length::mm(20.0), ..low };
        let [_, _, reason, next] = words_of(&pair(&trimmed, &lower, 10.0));
        assert!(reason.contains("23.0 mm is asked, the trim allowances of both"), "{reason}");
        assert!(next.ends_with("or give one of them a smaller trim allowance."), "{next}");
        let mut mean = pair(&block("Limpet", 12.0), &block("Crab shell", 20.0), 10.0);
        mean.settings.clearance.basis = HeightBasis::Mean;
        let [_, _, reason, _] = words_of(&mean);
        assert!(reason.contains("28.0 mm is asked, 1.75 x the mean height of 16.0 mm"), "{reason}");
    }

    fn words_of(plan: &Plan) -> [String; 4] {
        let pull = PULL;
        let found = &found(plan, Rule::Clearance)[0];
        let severity = found.severity.word().to_owned();
        [severity, found.title(plan, pull), found.reason(plan, pull), found.next_step(plan, pull)]
    }

    #[test]
    fn figures_follow_the_user_s_units_and_never_look_equal() {
        let (limpet, crab) = (block("Limpet", 10.0), block("Crab shell", 20.0));
        let mut plan = pair(&limpet, &crab, 34.99);
        let [_, _, reason, next] = words_of(&plan);
        assert!(reason.contains("34.99 mm apart; 35 mm is asked"), "{reason}");
        assert!(next.starts_with("Move them 0.1 mm farther apart"), "{next}");
        plan.settings.lengths = LengthStyle::FractionInches;
        let [_, _, reason, next] = words_of(&plan);
        assert!(reason.contains("1.37756 in apart; 1.37795 in is asked"), "{reason}");
        assert!(next.starts_with("Move them 1/64 in farther apart"), "{next}");
    }

    #[test]
    fn equal_copies_are_told_apart_by_number() {
        let limpet = Mold { copies: 2, ..block("Limpet", 10.0) };
        let plan = layout(&[(&limpet, &[(100.0, 150.0, 0.0), (150.0, 150.0, 0.0)])]);
        assert_eq!(words_of(&plan)[1], "Limpet #1 and Limpet #2 stand too close");
    }
}
