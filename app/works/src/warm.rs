//! A short search that nobody waits for: a browser runs a module slowly until it has seen what is asked of it often.

use engine::arrange::{Aims, Budget, Intent, Request, Seed, arrange};
use engine::edit::Edit;
use engine::plan::{CopyNumber, Plan, PullId, sample};
use engine::rules::{Finding, ReadyMolds, check_with};

/// A fifth of a second: who opens the panel has not pressed a button before.
const STEPS: u64 = 150_000;

/// What the rules say about the sample after it was laid out anew; nothing when that came to nothing.
pub(super) fn warmed() -> Vec<Finding> {
    let plan = sample();
    laid_out(&plan)
        .map(|(plan, pull)| check_with(&plan, pull, &ReadyMolds::default().renewed(&plan)))
        .unwrap_or_default()
}

fn laid_out(plan: &Plan) -> Option<(Plan, PullId)> {
    let pull = plan.first_pull()?;
    let standing = plan.pulls.get(&pull)?.placements.keys().copied().collect();
    let bare = plan.apply(&Edit::TakeOff(pull, standing)).ok()?;
    let copies = bare.molds.keys().map(|&mold| (mold, CopyNumber(1))).collect();
    let intent = Intent::Spread(Aims::default());
    let request = Request { pull, copies, intent, seed: Seed(1), budget: Budget { steps: STEPS } };
    let found = arrange(&bare, &request, &mut ()).ok()?;
    Some((bare.apply(&found.edit?).ok()?, pull))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sample_is_laid_out_and_its_molds_keep_clear() {
        let (plan, pull) = laid_out(&sample()).expect("a layout");
        assert_eq!(plan.pulls[&pull].placements.len(), plan.molds.len());
        let spoilt = ["Overlap", "Opening", "Platen", "Clearance"];
        let lines: Vec<String> =
            warmed().iter().map(|finding| format!("{:?}", finding.rule)).collect();
        assert!(!lines.iter().any(|line| spoilt.contains(&line.as_str())), "{lines:?}");
    }
}
