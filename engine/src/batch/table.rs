//! A batch as rows for a spreadsheet: five fields each, the first row their names.

use super::{BatchCost, BatchPlan, SheetPlan};
use crate::heat::Span;
use crate::plan::{MoldId, Plan, StockId};
use crate::units::{LengthStyle, Seconds};

/// Five fields.
type Row = [String; 5];

/// What is pulled, made, bought and spent, one thing a row: its kind, its name, what there is to say of it, how much, and
/// of what. Money stands without a currency, times are minutes.
#[must_use]
pub fn batch_table(plan: &Plan, batch: &BatchPlan, cost: &BatchCost) -> Vec<Vec<String>> {
    let mut rows = vec![row(["Kind", "Name", "Detail", "Amount", "Unit"].map(str::to_owned))];
    for sheet in &batch.sheets {
        rows.extend(pulls(plan, sheet).map(row));
        rows.extend(parts(plan, sheet).map(row));
    }
    rows.extend(bought(plan, cost).into_iter().map(row));
    let mut sums: Vec<Row> = Vec::new();
    for sheet in &cost.sheets {
        let name = sheet_name(plan, sheet.stock);
        for (step, time) in sheet.pull.named() {
            sums.extend(times(&format!("One pull, {name}"), &format!("{step} "), time));
        }
    }
    sums.extend(times("All pulls", "", cost.time));
    sums.extend(times("All pulls", "one kit ", cost.time_per_kit()));
    if let Some(plastic) = cost.plastic {
        sums.push(money("Plastic", "all kits", plastic));
        sums.push(money("Plastic", "one kit", plastic.each(cost.kits)));
    }
    let totals = [("Labour", cost.labour), ("Plastic and labour", cost.total())];
    for (name, (least, most)) in totals.into_iter().filter_map(|(name, sum)| Some((name, sum?))) {
        sums.push(money(name, "at the least", least));
        sums.push(money(name, "at the most", most));
        sums.push(money(name, "one kit at the least", least.each(cost.kits)));
        sums.push(money(name, "one kit at the most", most.each(cost.kits)));
    }
    rows.extend(sums.into_iter().map(row));
    rows
}

fn row(row: Row) -> Vec<String> {
    row.into()
}

/// A time at the least and at the most, in minutes to a tenth; one that never ends has no figure.
fn times(name: &str, what: &str, time: Span) -> [Row; 2] {
    let minutes = |time: Seconds| {
        let minutes = time.get() / 60.0;
        if minutes.is_finite() { format!("{minutes:.1}") } else { String::new() }
    };
    [("at the least", time.from), ("at the most", time.to)].map(|(end, time)| {
        ["Time", name, &format!("{what}{end}"), &minutes(time), "min"].map(str::to_owned)
    })
}

fn money(name: &str, detail: &str, amount: crate::units::Amount) -> Row {
    ["Cost", name, detail, &amount.to_string(), ""].map(str::to_owned)
}

fn pulls<'a>(plan: &'a Plan, sheet: &'a SheetPlan) -> impl Iterator<Item = Row> + 'a {
    sheet.layouts.iter().map(move |layout| {
        let detail = format!("{}: {}", sheet_name(plan, sheet.stock), layout.molds_in_words(plan));
        ["Pull", &layout.name, &detail, &layout.times.to_string(), "pulls"].map(str::to_owned)
    })
}

fn parts<'a>(plan: &'a Plan, sheet: &'a SheetPlan) -> impl Iterator<Item = Row> + 'a {
    sheet.parts.iter().map(move |(mold, parts)| {
        let detail = format!("{} wanted", parts.wanted);
        ["Part", name(plan, *mold), &detail, &parts.made.to_string(), "parts"].map(str::to_owned)
    })
}

fn bought(plan: &Plan, cost: &BatchCost) -> Vec<Row> {
    let mut rows = Vec::new();
    for sheet in &cost.sheets {
        let Ok(cut) = &sheet.cut else { continue };
        let name = sheet_name(plan, sheet.stock);
        let detail = format!("{} blanks, {} of them from offcuts", cut.blanks, cut.from_offcuts);
        rows.push(["Sheet", &name, &detail, &cut.sheets.to_string(), "sheets"].map(str::to_owned));
        if let Some(price) = cut.price {
            rows.push(money(&name, "whole sheets", price));
        }
        if let Some(worth) = cut.left_worth {
            rows.push(money(&name, "worth of what is left", worth));
        }
    }
    rows
}

fn name(plan: &Plan, mold: MoldId) -> &str {
    plan.molds.get(&mold).map_or("", |mold| &mold.name)
}

/// A sheet in a few words: plastic, gauge and colour.
#[must_use]
pub fn sheet_name(plan: &Plan, id: Option<StockId>) -> String {
    let Some(stock) = plan.stock_of(id) else { return String::new() };
    let gauge = LengthStyle::show_gauge(plan.settings.lengths, stock.gauge);
    let colour = id.and_then(|id| plan.batch.stocks.get(&id)).map(|extra| extra.colour.as_str());
    match colour {
        Some(colour) if !colour.is_empty() => {
            format!("{} {gauge}, {colour}", stock.plastic.name())
        }
        _ => format!("{} {gauge}", stock.plastic.name()),
    }
}
