//! The layouts that the maker has made: those that the rules have nothing against are tried first.

use std::collections::BTreeMap;

use super::known::Layout;
use crate::arrange::is_of_layout;
use crate::plan::{MoldId, Plan, PullId, StockId};
use crate::rules::{ReadyMolds, Severity, check_with};

/// The pulls of a plan as layouts of these molds in one sheet; what else stands on them is taken off.
pub(super) fn layouts(plan: &Plan, stock: Option<StockId>, kinds: &[MoldId]) -> Vec<Layout> {
    let ready = ReadyMolds::default().renewed(plan);
    let good = plan.pulls.keys().filter(|&&id| is_good(plan, id, &ready));
    let mut found: Vec<Layout> = good.filter_map(|&id| layout(plan, stock, (id, kinds))).collect();
    // Of equal layouts the first is taken: those that are pulls already come first.
    found.sort_by_key(|layout| layout.pull.is_none());
    found
}

fn is_good(plan: &Plan, pull: PullId, ready: &ReadyMolds) -> bool {
    let bad = |severity, rule| severity == Severity::Stop || is_of_layout(rule);
    !check_with(plan, pull, ready).iter().any(|finding| bad(finding.severity, finding.rule))
}

/// A pull in another sheet lends its layout and stays what it is.
fn layout(plan: &Plan, stock: Option<StockId>, (id, kinds): (PullId, &[MoldId])) -> Option<Layout> {
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
    let pull = (is_whole && pull.stock == stock).then_some(id);
    (!kept.is_empty()).then_some(Layout { counts, placements: kept, spare: None, pull })
}
