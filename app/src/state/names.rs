//! What a placed mold is called, the same words as the rules use.

use std::collections::BTreeSet;

use engine::plan::{PlacementId, Plan, PullId};

/// The mold's name, with the number of its copy where several exist: "Clam half #2".
pub(crate) fn placement_name(plan: &Plan, pull: PullId, id: PlacementId) -> String {
    let placement = plan.pulls.get(&pull).and_then(|pull| pull.placements.get(&id));
    let mold = placement.and_then(|placement| plan.molds.get(&placement.mold));
    match placement.zip(mold) {
        Some((placement, mold)) if mold.copies > 1 => {
            format!("{} #{}", mold.name, placement.copy.0)
        }
        Some((_, mold)) => mold.name.clone(),
        None => id.to_string(),
    }
}

/// Several names as a person says them: "Limpet", "Limpet and Starfish", "6 molds".
pub(crate) fn placement_names(plan: &Plan, pull: PullId, ids: &BTreeSet<PlacementId>) -> String {
    let name = |id: &PlacementId| placement_name(plan, pull, *id);
    match ids.iter().collect::<Vec<_>>()[..] {
        [one] => name(one),
        [one, other] => format!("{} and {}", name(one), name(other)),
        ref many => format!("{} molds", many.len()),
    }
}

/// "Limpet is locked, free it first (L)".
pub(crate) fn locked_words(plan: &Plan, pull: PullId, locked: &BTreeSet<PlacementId>) -> String {
    let names = placement_names(plan, pull, locked);
    if locked.len() == 1 {
        format!("{names} is locked, free it first (L)")
    } else {
        format!("{names} are locked, free them first (L)")
    }
}

#[cfg(test)]
mod tests {
    use engine::plan::sample;

    use super::*;

    #[test]
    fn a_copy_is_numbered_only_where_there_are_several() {
        let plan = sample();
        let ids = |numbers: &[u32]| numbers.iter().copied().map(PlacementId).collect();
        let names = |numbers: &[u32]| placement_names(&plan, PullId(1), &ids(numbers));
        assert_eq!(names(&[2]), "Limpet");
        assert_eq!(names(&[2, 6]), "Limpet and Clam half #2");
        assert_eq!(names(&[1, 2, 3]), "3 molds");
        assert_eq!(names(&[99]), "placement 99");
    }
}
