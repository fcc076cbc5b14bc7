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
