//! What the trade says about a layout: one rule a file, each returning findings.
//!
//! Every rule compares lengths with the tolerance `SAME`, so that what stands exactly at a limit is clean.

mod finding;
mod words;

mod facts;
mod nearest;
mod ready;
mod side;
mod spacing;
mod tightest;

mod bench;
#[cfg(test)]
mod fixture;
mod voice;

// One rule each; `Rule::ALL` has the order they are asked in.
mod clearance;
mod copies;
mod draft;
mod edge;
mod footprint;
mod gauge;
mod height_to_width;
mod opening;
mod overlap;
mod platen;
mod tall;
mod texture;

use std::cmp::Reverse;

use bench::Bench;
pub use draft::least_draft;
pub use facts::{Fact, Facts, Trust, facts};
pub use finding::{Finding, Measure, Place, Rule, Severity, Subject};
pub use nearest::{Neighbour, Neighbours, SideGap, nearest, nearest_with};
pub use ready::ReadyMolds;
pub use side::Side;
pub use spacing::{clearance, margin};
pub use tightest::tightest;

use crate::order;
use crate::plan::{Plan, PullId};

/// All that the rules say about a pull, the worst first; nothing when the plan has no such pull.
///
/// Molds that do not stand in the pull are not spoken of. The order is total: severity, rule, subjects. Cost:
/// quadratic in the placements for their extents, `n log n` in the corners of the molds that stand close.
#[must_use]
pub fn check(plan: &Plan, pull: PullId) -> Vec<Finding> {
    check_with(plan, pull, &ReadyMolds::default())
}

/// The same findings, with what is known of the molds already: much cheaper while molds are only moved.
#[must_use]
pub fn check_with(plan: &Plan, pull: PullId, ready: &ReadyMolds) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(bench) = Bench::new(plan, pull, ready) {
        for rule in Rule::ALL {
            ask(rule, &bench, &mut found);
        }
    }
    order::by(&mut found, |a, b| {
        let key = |finding: &Finding| (Reverse(finding.severity), finding.rule);
        key(a).cmp(&key(b)).then_with(|| a.subjects.cmp(&b.subjects))
    });
    found
}

fn ask(rule: Rule, bench: &Bench<'_>, found: &mut Vec<Finding>) {
    match rule {
        Rule::Footprint => footprint::check(bench, found),
        Rule::Overlap => overlap::check(bench, found),
        Rule::Clearance => clearance::check(bench, found),
        Rule::Opening => opening::check(bench, found),
        Rule::Platen => platen::check(bench, found),
        Rule::Edge => edge::check(bench, found),
        Rule::Tall => tall::check(bench, found),
        Rule::Copies => copies::check(bench, found),
        Rule::Draft => draft::check(bench, found),
        Rule::HeightToWidth => height_to_width::check(bench, found),
        Rule::Texture => texture::check(bench, found),
        Rule::Gauge => gauge::check(bench, found),
    }
}

#[cfg(test)]
mod tests {
    use super::fixture::{PULL, block, layout, outlined};
    use super::*;
    use crate::plan::{Texture, sample};

    #[test]
    fn a_pull_that_is_not_there_or_empty_has_no_findings() {
        assert_eq!(check(&sample(), PullId(99)), []);
        assert_eq!(check(&layout(&[]), PULL), []);
    }

    #[test]
    fn a_mold_that_does_not_stand_in_the_pull_is_not_spoken_of() {
        let bow = outlined(&[(0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0)]);
        let plan = layout(&[(&block("Limpet", 9.0), &[(200.0, 150.0, 0.0)]), (&bow, &[])]);
        assert_eq!(check(&plan, PULL), []);
    }

    #[test]
    fn the_worst_comes_first_and_then_the_order_of_the_rules() {
        let tall = block("Limpet", 110.0);
        let mut plan = layout(&[(&tall, &[(60.0, 150.0, 0.0), (140.0, 150.0, 0.0)])]);
        plan.stock.texture = Texture::AgainstMold;
        let told: Vec<(Severity, Rule)> =
            check(&plan, PULL).iter().map(|f| (f.severity, f.rule)).collect();
        let expected = [
            (Severity::Stop, Rule::Tall),
            (Severity::Stop, Rule::Copies),
            (Severity::Stop, Rule::Gauge),
            (Severity::Caution, Rule::Clearance),
            (Severity::Caution, Rule::Edge),
            (Severity::Caution, Rule::Edge),
            (Severity::Caution, Rule::HeightToWidth),
            (Severity::Note, Rule::Texture),
        ];
        assert_eq!(told, expected);
    }

    #[test]
    fn the_sample_has_one_gap_to_put_right() {
        let cautions: Vec<Rule> = check(&sample(), PULL)
            .iter()
            .filter(|finding| finding.severity >= Severity::Caution)
            .map(|finding| finding.rule)
            .collect();
        assert_eq!(cautions, [Rule::Clearance]);
    }

    #[test]
    fn rules_are_asked_in_the_order_they_are_listed() {
        assert!(Rule::ALL.is_sorted());
    }
}
