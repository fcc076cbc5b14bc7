//! The layouts that the maker has made: those that the rules have nothing against are tried first.

use std::collections::BTreeMap;

use super::known::Layout;
use crate::arrange::is_of_layout;
use crate::plan::{MoldId, Plan, PullId};
use crate::rules::{ReadyMolds, Severity, check_with};

/// The pulls of a plan as layouts of these molds; what else stands on them is taken off.
pub(super) fn layouts(plan: &Plan, kinds: &[MoldId]) -> Vec<Layout> {
    let ready = ReadyMolds::default().renewed(plan);
    let pulls = plan.pulls.keys().filter(|&&id| is_good(plan, id, &ready));
    pulls.filter_map(|&id| layout(plan, id, kinds)).collect()
}

fn is_good(plan: &Plan, pull: PullId, ready: &ReadyMolds) -> bool {
    let bad = |severity, rule| severity == Severity::Stop || is_of_layout(rule);
    !check_with(plan, pull, ready).iter().any(|finding| bad(finding.severity, finding.rule))
}

fn layout(plan: &Plan, id: PullId, kinds: &[MoldId]) -> Option<Layout> {
    let pull = plan.pulls.get(&id)?;
    let number = |mold: &MoldId| kinds.iter().position(|kind| kind == mold);
    let kept: BTreeMap<_, _> = pull
        .placements
        .iter()
        .filter(|(_, placement)| number(&placement.mold).is_some())
        .map(|(&id, &placement)| (id, placement))
        .collect();
    let mut counts = vec![0_u32; kinds.len()];
    for kind in kept.values().filter_map(|placement| number(&placement.mold)) {
        counts[kind] += 1;
    }
    let is_whole = kept.len() == pull.placements.len();
    let pull = is_whole.then_some(id);
    (!kept.is_empty()).then_some(Layout { counts, placements: kept, spare: None, pull })
}
