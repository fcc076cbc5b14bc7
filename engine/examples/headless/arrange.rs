//! Lays the molds of a plan file out: `arrange` all that stand or may stand, `fill` with as many as go on.

use std::collections::BTreeMap;

use engine::arrange::{
    Aims, Answer, Budget, Intent, LeaveOut, Measures, MoldCopy, Outcome, Request, Seed,
    SmallerFactor, TooFull, TurnedBlank, Worth, arrange,
};
use engine::edit::Edit;
use engine::file::save;
use engine::plan::{CopyNumber, MoldId, Plan, PullId};
use serde_json::{Value, json};

use super::{Done, Given, STOP, json_lines};

/// Steps when nothing is said: some seconds.
const STEPS: u64 = 4_000_000;

/// Lays out what stands in the pull, or every copy that exists when nothing does.
pub(super) fn arrange_plan(given: &Given) -> Result<Done, String> {
    let intent = match given.option("intent").unwrap_or("fit") {
        "fit" => Intent::Fit,
        "spread" => Intent::Spread(aims(given)?),
        "tidy" => Intent::Tidy,
        other => return Err(format!("--intent {other}: choose fit, spread or tidy")),
    };
    laid_out(given, intent)
}

/// Fills the pull with as many molds as go on.
pub(super) fn fill_plan(given: &Given) -> Result<Done, String> {
    let worth = match given.option("worth") {
        Some(text) => Worth::ByValue(values(text)?),
        None => Worth::ByCount,
    };
    laid_out(given, Intent::Most(worth))
}

/// The weights of the four aims, as `room,tall inside,walls square,faces apart`; those of the trade when nothing is said.
fn aims(given: &Given) -> Result<Aims, String> {
    let Some(text) = given.option("aims") else { return Ok(Aims::default()) };
    let weights: Result<Vec<f64>, _> = text.split(',').map(str::parse).collect();
    match weights.as_deref() {
        Ok(&[room, tall_inside, square, faces_apart]) => {
            Ok(Aims { room, tall_inside, square, faces_apart })
        }
        _ => Err(format!("--aims {text}: give four weights such as 1,0.5,0.5,0.25")),
    }
}

/// What molds are worth, as `1=2.5,4=0`: a mold's number and its worth.
fn values(text: &str) -> Result<BTreeMap<MoldId, f64>, String> {
    let value = |part: &str| {
        let (mold, worth) = part.split_once('=')?;
        Some((MoldId(mold.trim().parse().ok()?), worth.trim().parse().ok()?))
    };
    let values: Option<BTreeMap<MoldId, f64>> = text.split(',').map(value).collect();
    values.ok_or_else(|| {
        format!("--worth {text}: give the number of each mold and its worth, such as 1=2.5,4=0")
    })
}

fn laid_out(given: &Given, intent: Intent) -> Result<Done, String> {
    let plan = given.plan()?;
    let (pull, layout) = given.pull(&plan)?;
    let is_empty = layout.placements.is_empty();
    let copies = if is_empty { every_copy(&plan) } else { Vec::new() };
    let request = Request {
        pull,
        copies,
        intent,
        seed: Seed(given.number("seed")?.unwrap_or(1)),
        budget: Budget { steps: given.number("steps")?.unwrap_or(STEPS) },
    };
    let answer = arrange(&plan, &request, &mut ()).map_err(|error| error.to_string())?;
    let after = match &answer.edit {
        Some(edit) => plan.apply(edit).map_err(|error| error.to_string())?,
        None => plan.clone(),
    };
    let is_all_on = match &answer.outcome {
        Outcome::TooFull(_) => false,
        Outcome::Most(most) => most.left_out.is_empty(),
        Outcome::Fits { .. } | Outcome::Spread { .. } | Outcome::Tidied { .. } => true,
    };
    let output = json!({
        "plan": saved(&after)?,
        "pull": pull.0,
        "seed": request.seed.0,
        "steps": answer.steps,
        "changed": answer.edit.is_some(),
        "all_on": is_all_on,
        "outcome": outcome_json(&answer.outcome),
        "title": answer.title(),
        "report": answer.sentences(&plan),
        "ways_out": ways_out(&answer, &plan),
        "unsound": copies_json(&answer.unsound),
        "findings_left": answer.left.len(),
    });
    let message = format!("{}: {}\n", name(&plan, pull), answer.title());
    Ok(Done { output: json_lines(&output), message, status: if is_all_on { 0 } else { STOP } })
}

fn every_copy(plan: &Plan) -> Vec<MoldCopy> {
    let copies = |(&id, copies): (_, u32)| (1..=copies).map(move |n| (id, CopyNumber(n)));
    plan.molds.iter().map(|(id, mold)| (id, mold.copies)).flat_map(copies).collect()
}

fn name(plan: &Plan, pull: PullId) -> &str {
    plan.pulls.get(&pull).map_or("", |pull| &pull.name)
}

/// A plan in the saved form, as a part of the output.
fn saved(plan: &Plan) -> Result<Value, String> {
    serde_json::from_str(&save(plan)).map_err(|error| error.to_string())
}

fn copies_json(copies: &[MoldCopy]) -> Value {
    copies.iter().map(|(mold, copy)| json!({ "mold": mold.0, "copy": copy.0 })).collect()
}

fn outcome_json(outcome: &Outcome) -> Value {
    match outcome {
        Outcome::Fits { placed, spare } => json!({
            "fits": { "placed": copies_json(placed), "spare_mm": finite(spare.to_mm()) }
        }),
        Outcome::TooFull(full) => json!({ "too_full": too_full_json(full) }),
        Outcome::Most(most) => json!({
            "most": {
                "placed": copies_json(&most.placed),
                "left_out": copies_json(&most.left_out),
                "worth": most.worth,
                "all_tried": most.is_all_tried,
            }
        }),
        Outcome::Spread { before, after } => json!({
            "spread": { "before": measures_json(before), "after": measures_json(after) }
        }),
        Outcome::Tidied { moved } => {
            let moved =
                moved.iter().map(|(id, by)| json!({ "placement": id.0, "by_mm": by.to_mm() }));
            json!({ "tidied": { "moved": moved.collect::<Vec<_>>() } })
        }
    }
}

/// A number, or nothing where there is no such distance.
fn finite(mm: f64) -> Option<f64> {
    mm.is_finite().then_some(mm)
}

fn measures_json(measures: &Measures) -> Value {
    json!({
        "spare_mm": finite(measures.spare.to_mm()),
        "tall_from_middle_mm": measures.tall_from_middle.to_mm(),
        "out_of_square_deg": measures.out_of_square.to_degrees(),
        "facing": measures.facing,
    })
}

fn too_full_json(full: &TooFull) -> Value {
    let factor = match full.factor {
        SmallerFactor::NotAsked => json!("not asked"),
        SmallerFactor::NoneFits { least } => json!({ "none_down_to": least }),
        SmallerFactor::Fits { factor, .. } => json!(factor),
    };
    let turned = match full.turned_blank {
        TurnedBlank::NotAsked => "not asked",
        TurnedBlank::NoDifference => "no difference",
        TurnedBlank::Held => "not tried: something stays where it is",
        TurnedBlank::DoesNotHelp => "does not help",
        TurnedBlank::Fits { .. } => "fits",
    };
    let leave_out = full.leave_out.as_ref().map(|LeaveOut { copies, .. }| copies_json(copies));
    json!({
        "lacking_mm": full.lacking.and_then(|lacking| finite(lacking.to_mm())),
        "too_large": copies_json(&full.too_large),
        "leave_out": leave_out,
        "clearance_factor": factor,
        "turned_blank": turned,
    })
}

/// What would help, each with the plan after it.
fn ways_out(answer: &Answer, plan: &Plan) -> Vec<Value> {
    let after = |edit: &Edit| plan.apply(edit).ok().and_then(|after| saved(&after).ok());
    let ways = answer.ways_out(plan).into_iter();
    ways.map(|way| json!({ "words": way.words, "plan": after(way.edit) })).collect()
}
