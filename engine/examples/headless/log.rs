//! Tells what a log of pulls says of its machine: the heater, and how near molds may stand.

use engine::file::load_log;
use engine::heat::{Calibration, Heater, Sides, heating};
use engine::plan::{Plan, Settings};
use engine::record::{
    Advice, Learned, Logbook, Outcome, Tally, learned_clearance, learned_heat, parted,
};
use serde_json::{Value, json};

use super::{Done, Given, json_lines, name_of, text_of};

/// What the pulls say; with a plan, of its sheet and its clearance rule.
pub(super) fn tell_log(given: &Given) -> Result<Done, String> {
    let input = given.input();
    let book =
        load_log(&text_of(input)?).map_err(|error| format!("{}: {error}", name_of(input)))?;
    let plan = given.option("plan").map(plan_of).transpose()?;
    let rule = plan.as_ref().map_or_else(Settings::default, |plan| plan.settings).clearance;
    let learned = learned_clearance(&book, &rule);
    let outcomes = Outcome::ALL.map(|outcome| {
        let count = book.iter().filter(|(_, record)| record.is(outcome)).count();
        (outcome.word().to_owned(), json!(count))
    });
    let heat = [("one", Sides::One), ("both", Sides::Both)].map(|(word, sides)| {
        let found = learned_heat(&book, sides);
        (word.to_owned(), json!(found.map(|found| heat_json(found, sides, plan.as_ref()))))
    });
    let by_factor = parted(&book, rule.basis).map(|row| {
        let count = |tally: Tally| json!({ "webbed": tally.webbed, "pulls": tally.pulls });
        json!({ "factor": row.at, "under": count(row.under), "at_or_above": count(row.at_or_above) })
    });
    let output = json!({
        "pulls": book.len(),
        "outcomes": Value::Object(outcomes.into_iter().collect()),
        "heater": Value::Object(heat.into_iter().collect()),
        "clearance": clearance_json(&learned),
        "by_factor": by_factor,
    });
    Ok(Done { output: json_lines(&output), message: words(&book, &learned), status: 0 })
}

fn plan_of(path: &str) -> Result<Plan, String> {
    engine::file::load(&text_of(path)?).map_err(|error| format!("{}: {error}", name_of(path)))
}

fn heat_json(found: Calibration, sides: Sides, plan: Option<&Plan>) -> Value {
    let Calibration { absorbed, count } = found;
    let usual = plan.map(|plan| {
        let heater = Heater { sides, absorbed, ..Heater::default() };
        let usual = heating(plan.stock.plastic, plan.stock.gauge, &heater).usual;
        [usual.from, usual.to].map(super::heat::seconds)
    });
    let kilowatts = [absorbed.0, absorbed.1].map(|flux| flux.to_watts_per_m2() / 1e3);
    json!({ "pulls": count, "absorbed_kw_per_m2": kilowatts, "usual_s": usual })
}

fn clearance_json(learned: &Learned) -> Value {
    let tally = |tally: Tally| {
        let (from, to) = tally.share();
        json!({ "webbed": tally.webbed, "pulls": tally.pulls, "share_95": [from, to] })
    };
    let advice = learned.advice.map(|Advice { factor, near, below }| {
        json!({ "factor": factor, "near": tally(near), "below": tally(below) })
    });
    json!({
        "factor": learned.at,
        "under": tally(learned.under),
        "at_or_above": tally(learned.at_or_above),
        "advice": advice,
    })
}

fn words(book: &Logbook, learned: &Learned) -> String {
    let Learned { at, under, at_or_above, advice } = learned;
    let advice = advice.map_or_else(
        || "the counts suggest no other factor".to_owned(),
        |advice| format!("{} x may do: 0 of {} pulls webbed", advice.factor, advice.near.pulls),
    );
    format!(
        "{} pulls; under {at} x: {} of {} webbed, at or above: {} of {}; {advice}\n",
        book.len(),
        under.webbed,
        under.pulls,
        at_or_above.webbed,
        at_or_above.pulls
    )
}
