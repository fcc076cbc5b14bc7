//! Cuts a plan's stock sheet into its blanks, and tells which size of blank wastes least.

use engine::plan::{Plan, Size};
use engine::stock::{
    Axis, Cutting, Job, Pattern, Sizes, Wanted, cut_job, cuts_in_order, plan_cutting, snaps,
    yield_map,
};
use engine::units::{Length, LengthStyle, Unit, parse_length};
use serde_json::{Value, json};

use super::{Done, Given, json_lines};

/// Whole sheets into the blanks of a plan's machine, or into those that are named.
pub(super) fn cut_plan(given: &Given) -> Result<Done, String> {
    let plan = given.plan()?;
    let cutting = cutting(given, &plan)?;
    let blank = plan.machine.blank;
    let may_turn = may_turn(given, &plan);
    let wanted = match given.options.get("blanks") {
        Some(text) => sizes(text, "blanks")?
            .into_iter()
            .map(|(size, count)| Wanted { size, may_turn, count })
            .collect(),
        None => {
            let one = Wanted { size: blank, may_turn, count: 1 };
            let most = engine::stock::most_of_one(plan.stock.sheet, one, &cutting);
            let most = most.map_err(|error| error.to_string())?.count(0).max(1);
            vec![Wanted { count: plan.cutting.blanks_wanted.unwrap_or(most), ..one }]
        }
    };
    let offcuts = match given.options.get("offcuts") {
        Some(text) => each(sizes(text, "offcuts")?),
        None => {
            let own = plan.cutting.offcuts.iter().filter(|offcut| offcut.stock.is_none());
            each(own.map(|offcut| (offcut.size, offcut.count)).collect())
        }
    };
    let job = Job { sheet: plan.stock.sheet, offcuts, wanted };
    let sheets = cut_job(&job, &cutting).map_err(|error| error.to_string())?;
    let (parted, trust) = snaps(plan.stock.plastic, plan.stock.gauge);
    let from_offcuts: Vec<Value> = sheets
        .offcuts
        .iter()
        .map(|(number, pattern)| json!({ "offcut": number, "pattern": told(pattern) }))
        .collect();
    let patterns: Vec<Value> = sheets
        .patterns
        .iter()
        .map(|(pattern, times)| json!({ "sheets": times, "pattern": told(pattern) }))
        .collect();
    let output = json!({
        "sheets": sheets.n_sheets,
        "at_least": sheets.least,
        "proved": sheets.is_proved(),
        "offcuts": from_offcuts,
        "patterns": patterns,
        "parting": { "words": parted.words(), "trust": trust.words() },
    });
    let proof = if sheets.is_proved() { "no way takes fewer" } else { "fewer are not ruled out" };
    let message = format!("{} sheets; {proof}. {}\n", sheets.n_sheets, parted.words());
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

/// How much of a sheet becomes blanks, over their width and depth.
pub(super) fn map_plan(given: &Given) -> Result<Done, String> {
    let plan = given.plan()?;
    let cutting = cutting(given, &plan)?;
    let side = |name: &str, usual: f64| match given.options.get(name) {
        Some(text) => one_length(text, name),
        None => Ok(Length::inches(usual)),
    };
    let may_turn = may_turn(given, &plan);
    let sizes = Sizes {
        least: side("from", 8.0)?,
        most: side("to", 32.0)?,
        step: side("step", 0.5)?,
        may_turn,
    };
    let map = yield_map(plan.stock.sheet, sizes, &cutting).map_err(|error| error.to_string())?;
    let peaks: Vec<Value> = map
        .peaks
        .iter()
        .map(|peak| {
            let (width, depth) = (peak.size.width.to_mm(), peak.size.depth.to_mm());
            json!({ "width_mm": width, "depth_mm": depth, "count": peak.count, "share": peak.share })
        })
        .collect();
    let millimetres = |sides: &[Length]| sides.iter().map(|side| side.to_mm()).collect::<Vec<_>>();
    let output = json!({
        "widths_mm": millimetres(&map.widths),
        "depths_mm": millimetres(&map.depths),
        "counts": map.counts,
        "peaks": peaks,
    });
    let style = LengthStyle::DecimalInches;
    let message = map.peaks.first().map_or_else(
        || "no blank of these sizes comes out of the sheet\n".to_owned(),
        |best| {
            let (width, depth) = (style.show(best.size.width), style.show(best.size.depth));
            format!("best: {} of {width} x {depth}, {:.1} % used\n", best.count, best.share * 100.0)
        },
    );
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

/// As the plan says, and sawn where a kerf is given.
fn cutting(given: &Given, plan: &Plan) -> Result<Cutting, String> {
    let mut cutting = plan_cutting(plan);
    if let Some(text) = given.options.get("kerf") {
        cutting = Cutting { wander: cutting.wander, ..Cutting::sawn(one_length(text, "kerf")?) };
    }
    if let Some(text) = given.options.get("wander") {
        cutting.wander = one_length(text, "wander")?;
    }
    Ok(cutting)
}

/// Whether blanks may lie either way: not where the plan or the command line keeps to the grain.
fn may_turn(given: &Given, plan: &Plan) -> bool {
    plan.cutting.may_turn && !given.options.contains_key("grain")
}

fn one_length(text: &str, name: &str) -> Result<Length, String> {
    parse_length(text, Unit::Millimetre).map_err(|error| format!("--{name} {text}: {error}"))
}

/// Sizes such as `12inx16in*24`, between commas; one when no count is given.
fn sizes(text: &str, name: &str) -> Result<Vec<(Size, u32)>, String> {
    let wrong = |part: &str| format!("--{name} {part}: write it as 12inx16in*24 or 305x406");
    text.split(',')
        .map(|part| {
            let (size, count) = part.split_once('*').unwrap_or((part, "1"));
            let (width, depth) = size.split_once('x').ok_or_else(|| wrong(part))?;
            let count = count.trim().parse().map_err(|_| wrong(part))?;
            Ok((Size::new(one_length(width, name)?, one_length(depth, name)?), count))
        })
        .collect()
}

/// Each size as often as it is counted; not more often than offcuts lie about.
fn each(sizes: Vec<(Size, u32)>) -> Vec<Size> {
    const MOST: usize = 100;
    let each = |(size, count): (Size, u32)| (0..count).map(move |_| size);
    sizes.into_iter().flat_map(each).take(MOST).collect()
}

/// A pattern: its blanks, what is left, and its cuts in order.
fn told(pattern: &Pattern) -> Value {
    let parts: Vec<Value> = pattern
        .parts()
        .iter()
        .map(|part| {
            let at = part.rect.min;
            json!({
                "blank": part.blank, "turned": part.is_turned, "x_mm": at.x, "y_mm": at.y,
                "width_mm": part.rect.width().to_mm(), "depth_mm": part.rect.depth().to_mm(),
            })
        })
        .collect();
    let cuts: Vec<Value> = cuts_in_order(pattern)
        .iter()
        .map(|cut| {
            let from = match cut.axis {
                Axis::FrontToBack => "left",
                Axis::LeftToRight => "front",
            };
            json!({
                "number": cut.number, "measure_from": from,
                "mark_mm": cut.mark.to_mm(), "length_mm": cut.length.to_mm(),
            })
        })
        .collect();
    let share = pattern.used() / pattern.sheet.rect().area();
    json!({ "used": share, "parts": parts, "cuts": cuts })
}
