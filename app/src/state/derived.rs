//! What is computed from the session: pure functions, memoised by the store.

use std::sync::Arc;

use engine::drawing::{Drawing, ReadyOutlines, draw_with};
use engine::edit::Edit;
use engine::plan::{Plan, PullId};
use engine::rules::{Finding, ReadyMolds, check_with};

/// The plan with the previewed edit applied; a refused preview shows the plan as it is.
pub(super) fn shown_plan(plan: &Arc<Plan>, preview: Option<&Edit>) -> Arc<Plan> {
    preview.and_then(|edit| plan.apply(edit).ok()).map_or_else(|| Arc::clone(plan), Arc::new)
}

/// What the rules say about a pull.
pub(super) fn findings(plan: &Plan, pull: PullId, ready: &ReadyMolds) -> Arc<Vec<Finding>> {
    Arc::new(check_with(plan, pull, ready))
}

/// A pull, drawn.
pub(super) fn drawing(
    plan: &Plan,
    pull: PullId,
    findings: &[Finding],
    outlines: &ReadyOutlines,
) -> Arc<Drawing> {
    Arc::new(draw_with(plan, pull, findings, outlines))
}
