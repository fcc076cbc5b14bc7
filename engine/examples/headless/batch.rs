//! Plans the batch of a plan file: layouts, how often to pull each, bounds, cost and time.

use std::fs;

use engine::batch::{
    BatchCost, BatchPlan, Budget, Seed, SheetPlan, batch_cost, batch_table, plan_batch, sheet_name,
};
use engine::edit::Edit;
use engine::export::csv;
use engine::file::save;
use engine::heat::Span;
use engine::plan::{Batch, PartWanted, Plan};
use engine::units::Amount;
use serde_json::{Value, json};

use super::{Done, Given, STOP, json_lines};

/// Steps when nothing is said: some seconds.
const STEPS: u64 = 6_000_000;

/// Plans the kits of a plan; of a plan that names none, kits of one part from each copy of each mold.
pub(super) fn batch_plan(given: &Given) -> Result<Done, String> {
    let plan = with_kits(given, &given.plan()?)?;
    let seed = Seed(given.number("seed")?.unwrap_or(1));
    let budget = Budget { steps: given.number("steps")?.unwrap_or(STEPS) };
    let planned = plan_batch(&plan, (seed, budget), &mut ()).map_err(|error| error.to_string())?;
    let cost = batch_cost(&plan, &planned, &super::heat::heater(given)?);
    let after = match &planned.edit {
        Some(edit) => plan.apply(edit).map_err(|error| error.to_string())?,
        None => plan.clone(),
    };
    if let Some(path) = given.options.get("csv") {
        let text = csv(&batch_table(&plan, &planned, &cost));
        fs::write(path, text).map_err(|error| format!("{path}: {error}"))?;
    }
    let saved: Value = serde_json::from_str(&save(&after)).map_err(|error| error.to_string())?;
    let output = json!({
        "pulls": planned.pulls(),
        "layouts": planned.n_layouts(),
        "sheets": planned.sheets.iter().map(|sheet| sheet_json(&plan, sheet)).collect::<Vec<_>>(),
        "cost": cost_json(&plan, &cost),
        "unplaceable": planned.unplaceable.iter().map(|mold| mold.0).collect::<Vec<_>>(),
        "report": planned.sentences(&plan),
        "steps": planned.steps,
        "seed": seed.0,
        "plan": saved,
    });
    let message = format!("{}\n", said(&plan, &planned));
    let status = if planned.unplaceable.is_empty() { 0 } else { STOP };
    Ok(Done { output: json_lines(&output), message, status })
}

fn said(plan: &Plan, planned: &BatchPlan) -> String {
    [vec![planned.title()], planned.sentences(plan)].concat().join("\n")
}

fn with_kits(given: &Given, plan: &Plan) -> Result<Plan, String> {
    let mut batch: Batch = (*plan.batch).clone();
    if let Some(kits) = given.number("kits")? {
        batch.kits = u32::try_from(kits).map_err(|_| format!("--kits {kits} is too much"))?;
    }
    if batch.wanted.values().all(|part| part.per_kit == 0) {
        let one = |copies: u32| PartWanted { per_kit: copies, stock: None };
        batch.wanted = plan.molds.iter().map(|(&id, mold)| (id, one(mold.copies))).collect();
    }
    plan.apply(&Edit::SetBatch(Box::new(batch))).map_err(|error| error.to_string())
}

fn sheet_json(plan: &Plan, sheet: &SheetPlan) -> Value {
    let layouts: Vec<Value> = sheet
        .layouts
        .iter()
        .map(|layout| {
            let molds: Vec<Value> = layout
                .molds
                .iter()
                .map(|(mold, n)| json!({ "mold": mold.0, "copies": n }))
                .collect();
            json!({
                "pull": layout.pull.0, "name": layout.name, "new": layout.is_new,
                "times": layout.times, "molds": molds,
                "spare_mm": layout.spare.map(|spare| spare.to_mm()),
            })
        })
        .collect();
    let bottlenecks: Vec<Value> = sheet
        .bottlenecks
        .iter()
        .map(|one| json!({ "mold": one.mold.0, "saves": one.saves, "at_best": one.at_best }))
        .collect();
    let parts: Vec<Value> = sheet
        .parts
        .iter()
        .map(|(mold, parts)| json!({ "mold": mold.0, "wanted": parts.wanted, "made": parts.made }))
        .collect();
    let bounds = sheet.bounds;
    json!({
        "sheet": sheet_name(plan, sheet.stock),
        "stock": sheet.stock.map(|id| id.0),
        "pulls": sheet.pulls,
        "at_least": bounds.least(),
        "proved": sheet.is_proved(),
        "fewest_layouts_proved": sheet.is_fewest_layouts,
        "bounds": {
            "mold": bounds.mold.map(|(mold, least)| json!({ "mold": mold.0, "pulls": least })),
            "surface": bounds.surface,
            "together": bounds.together,
        },
        "layouts": layouts,
        "bottlenecks": bottlenecks,
        "parts": parts,
    })
}

fn cost_json(plan: &Plan, cost: &BatchCost) -> Value {
    let money = |amount: Option<Amount>| amount.map(|amount| amount.to_string());
    let both = |(least, most): (Amount, Amount)| [least.to_string(), most.to_string()];
    let kit = |(least, most): (Amount, Amount)| (least.each(cost.kits), most.each(cost.kits));
    let span = |span: Span| json!([minutes(span.from.get()), minutes(span.to.get())]);
    let sheets: Vec<Value> = cost
        .sheets
        .iter()
        .map(|sheet| {
            let cut = match &sheet.cut {
                Ok(cut) => json!({
                    "blanks": cut.blanks, "from_offcuts": cut.from_offcuts, "a_sheet": cut.a_sheet,
                    "sheets": cut.sheets, "left_mm2": cut.left.to_mm2(),
                    "price": money(cut.price), "left_worth": money(cut.left_worth),
                }),
                Err(error) => json!({ "refused": error.to_string() }),
            };
            let steps = sheet.pull.named().into_iter();
            let steps = steps.map(|(name, time)| (name.to_owned(), span(time)));
            json!({
                "sheet": sheet_name(plan, sheet.stock), "cut": cut,
                "pull_min": span(sheet.pull.whole()), "steps_min": Value::Object(steps.collect()),
                "time_min": span(sheet.time),
            })
        })
        .collect();
    json!({
        "sheets": sheets,
        "time_min": span(cost.time),
        "time_per_kit_min": span(cost.time_per_kit()),
        "plastic": money(cost.plastic),
        "plastic_per_kit": money(cost.plastic.map(|sum| sum.each(cost.kits))),
        "labour": cost.labour.map(both),
        "labour_per_kit": cost.labour.map(|sum| both(kit(sum))),
        "total": cost.total().map(both),
        "total_per_kit": cost.total().map(|sum| both(kit(sum))),
    })
}

/// Minutes to a tenth; nothing when it may never end.
fn minutes(seconds: f64) -> Option<f64> {
    let tenths = (seconds / 6.0).round() / 10.0;
    tenths.is_finite().then_some(tenths)
}
