//! Plans a batch of kits: few layouts, how often to pull each, and what that costs.
//!
//! Fewest pulls first, then fewest changes of layout, then fewest parts too many; since every pull takes one blank, the
//! fewest pulls are the least plastic. Parts in different sheets never share a pull, so each sheet is planned by itself.
//! Whether molds stand together is asked of `arrange`, under the rules; which sets to ask about is found from the counts:
//! of all sets that are not given up, those that would make the plan shorter. Same plan, same seed: same answer.

mod answer;
mod cost;
mod distinct;
mod error;
mod group;
mod known;
mod own;
mod run;
mod sheet;
mod table;
#[cfg(test)]
mod tests;
mod turns;
mod watch;
mod words;

use std::collections::BTreeMap;

pub use answer::{BatchPlan, Bottleneck, Bounds, LayoutPlan, Made, SheetPlan};
pub use cost::{BatchCost, Cut, PullSteps, SheetCost, batch_cost};
pub use error::BatchError;
pub use table::{batch_table, sheet_name};
pub use turns::short_parts;
pub use watch::{Phase, Progress};

pub use crate::search::{Budget, Seed};

use crate::edit::Edit;
use crate::plan::{MoldId, Plan, Pull, StockId, Turn};
use crate::watch::Watch;
use run::Run;
use sheet::{Names, Sheet};

/// Kinds of parts that are planned in one sheet at most.
const MOST_KINDS: usize = 60;

/// Plans the batch of a plan within `budget`, counted in steps of a search for places: two million take about a second of
/// one core natively.
///
/// # Errors
/// Says what of the batch cannot be planned.
pub fn plan_batch(
    plan: &Plan,
    (seed, budget): (Seed, Budget),
    watch: &mut dyn Watch<Progress>,
) -> Result<BatchPlan, BatchError> {
    let sheets = by_sheet(plan)?;
    let mut run = Run::new(budget, watch);
    let mut names = Names::new(plan);
    let (mut planned, mut unplaceable, mut untried) = (Vec::new(), Vec::new(), Vec::new());
    let n_sheets = u64::try_from(sheets.len()).unwrap_or(1);
    for (done, (stock, wanted)) in (0_u64..).zip(sheets) {
        let share = run.part(100) / (n_sheets - done).max(1);
        let sheet = Sheet { plan, stock, seed };
        let found = sheet.planned(wanted, share, (&mut names, &mut run));
        unplaceable.extend(found.without);
        untried.extend(found.untried);
        planned.extend(found.sheet);
    }
    let edit = edit(plan, &planned).filter(|edit| plan.apply(edit).is_ok());
    let Run { is_stopped, steps, .. } = run;
    Ok(BatchPlan { sheets: planned, unplaceable, untried, edit, is_stopped, steps })
}

/// Adds the layouts that are new, each in its sheet, and sets the order of the pulls, in one step.
fn edit(plan: &Plan, sheets: &[SheetPlan]) -> Option<Edit> {
    let mut edits: Vec<Edit> = Vec::new();
    let mut order = Vec::new();
    for (stock, layout) in sheets.iter().flat_map(|s| s.layouts.iter().map(|one| (s.stock, one))) {
        order.push(Turn { pull: layout.pull, times: layout.times });
        if layout.is_new {
            let (name, placements) = (layout.name.clone(), layout.placements.clone());
            edits.push(Edit::AddPull(layout.pull, Pull { name, stock, placements }));
        }
    }
    if !order.is_empty() && order != *plan.order {
        edits.push(Edit::SetOrder(order));
    }
    if edits.len() > 1 { Some(Edit::All(edits)) } else { edits.pop() }
}

/// Molds, and how many parts of each are wanted, by sheet.
type BySheet = BTreeMap<Option<StockId>, Vec<(MoldId, u32)>>;

/// What is wanted in each sheet; sheets in which nothing is wanted are left out.
fn by_sheet(plan: &Plan) -> Result<BySheet, BatchError> {
    let mut sheets = BySheet::new();
    for (&mold, part) in &plan.batch.wanted {
        let wanted = plan.batch.n_wanted(mold);
        if wanted > 0 && plan.molds.contains_key(&mold) {
            sheets.entry(part.stock).or_default().push((mold, wanted));
        }
    }
    match sheets.values().map(Vec::len).max() {
        None => Err(BatchError::Nothing),
        Some(count) if count > MOST_KINDS => {
            Err(BatchError::TooManyKinds { count, most: MOST_KINDS })
        }
        Some(_) => Ok(sheets),
    }
}
