//! What the trade says about a layout: one rule a file, each returning findings.
//!
//! Every rule compares lengths with the tolerance `SAME`, so that what stands exactly at a limit is clean.

mod finding;
mod words;

mod facts;
mod nearest;
mod side;
mod spacing;

mod bench;
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
pub use facts::{Fact, Facts, Trust, facts};
pub use finding::{Finding, Measure, Place, Rule, Severity, Subject};
pub use nearest::{Neighbour, Neighbours, SideGap, nearest};
pub use side::Side;
pub use spacing::{clearance, margin};

use crate::plan::{Plan, PullId};

/// All that the rules say about a pull, the worst first; nothing when the plan has no such pull.
///
/// Molds that do not stand in the pull are not spoken of. The order is total: severity, rule, subjects. Cost:
/// quadratic in the placements for their extents, `n log n` in the corners of the molds that stand close.
#[must_use]
pub fn check(plan: &Plan, pull: PullId) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(bench) = Bench::new(plan, pull) {
        for rule in Rule::ALL {
            ask(rule, &bench, &mut found);
        }
    }
    found.sort_by(|a, b| {
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
