//! What the bench card says of the whole batch: how its blanks are cut, and which pull is made how often, to be ticked off.

use std::borrow::Cow;
use std::sync::Arc;

use super::cut_list::to_buy;
use super::flow::{Flow, SMALL};
use crate::batch::{sheet_name, short_parts};
use crate::drawing::lettering;
use crate::plan::{Plan, PullId, StockId, limits};
use crate::stock::{PlannedCut, cut_plan, size_words, step_words, steps, summary};
use crate::units::Length;

/// Pulls that are listed; more are counted.
const PULLS: usize = 12;

/// How the blanks of the pull's sheet are cut: the first `n_steps` steps, since the cut list has all.
pub(super) fn cut(flow: &mut Flow, plan: &Plan, pull: PullId, n_steps: usize) {
    let id = plan.pulls.get(&pull).and_then(|pull| pull.stock);
    let asked = n_asked(plan, id);
    let of_sheet = with_sheet(plan, id, asked);
    flow.section("Cut");
    // Further sizes are no part of the plan: they stand in the cut list.
    let cut = match cut_plan(&of_sheet, &[]) {
        Ok(cut) => cut,
        Err(error) => return flow.paragraph(&format!("No blank is cut: {error}.")),
    };
    let buy = to_buy(&of_sheet.stock, &cut);
    flow.paragraph(&format!("{} {buy}", summary(&cut, plan.settings.lengths)));
    if asked > 0 && asked != cut.wanted.count {
        flow.paragraph(&format!(
            "The pulls in their order below take {asked} blanks of this sheet."
        ));
    }
    let lines = step_lines(&of_sheet, &cut);
    lines.iter().take(n_steps).for_each(|line| flow.ticked(line));
    match (lines.len().saturating_sub(n_steps), id) {
        (0, _) => {}
        (more, None) => flow.paragraph(&format!("And {more} more steps: see the cut list.")),
        (more, Some(_)) => flow.paragraph(&format!("And {more} more steps of the same kind.")),
    }
}

/// Blanks of a sheet that the order of pulls takes.
fn n_asked(plan: &Plan, id: Option<StockId>) -> u32 {
    let of_sheet = |pull: &PullId| plan.pulls.get(pull).is_some_and(|pull| pull.stock == id);
    let turns = plan.order.iter().filter(|turn| of_sheet(&turn.pull));
    turns.fold(0, |sum, turn| sum.saturating_add(turn.times))
}

/// The plan as if the sheet were its own, with the offcuts of that sheet.
fn with_sheet(plan: &Plan, id: Option<StockId>, asked: u32) -> Cow<'_, Plan> {
    let Some((id, stock)) = id.and_then(|id| Some((id, plan.stock_of(Some(id))?))) else {
        return Cow::Borrowed(plan);
    };
    let mut habits = (*plan.cutting).clone();
    habits.blanks_wanted = Some(asked).filter(|n| (1..=limits::BLANKS).contains(n));
    habits.offcuts.retain(|offcut| offcut.stock == Some(id));
    habits.offcuts.iter_mut().for_each(|offcut| offcut.stock = None);
    Cow::Owned(Plan { stock: *stock, cutting: Arc::new(habits), ..plan.clone() })
}

/// The steps of all patterns, offcuts first; where there are several patterns, each says which at its first step.
fn step_lines(plan: &Plan, cut: &PlannedCut) -> Vec<String> {
    let style = plan.settings.lengths;
    let has_several = cut.patterns().count() > 1;
    let lines = cut.patterns().flat_map(|(pattern, times)| {
        let size = size_words(pattern.sheet, style);
        steps(pattern).into_iter().map(move |step| {
            let words = step_words(&step, plan.cutting.by, style);
            match (has_several && step.number == 1, times) {
                (false, _) => words,
                (true, 1) => format!("One of {size}: {words}"),
                (true, n) => format!("{n} of {size}: {words}"),
            }
        })
    });
    lines.collect()
}

/// The pulls of a batch in their order, when the plan has one.
pub(super) fn order(flow: &mut Flow, plan: &Plan, shown: PullId) {
    if plan.order.is_empty() {
        return;
    }
    flow.section("Pulls in this order");
    let has_sheets = !plan.batch.stocks.is_empty();
    for turn in plan.order.iter().take(PULLS) {
        let Some(pull) = plan.pulls.get(&turn.pull) else { continue };
        let sheet = has_sheets.then(|| format!(" in {}", sheet_name(plan, pull.stock)));
        let here = if turn.pull == shown { " (this card)" } else { "" };
        let times = match turn.times {
            1 => "once".to_owned(),
            n => format!("{n} times"),
        };
        let rest = format!(", {times}{}{here}", sheet.unwrap_or_default());
        let room = Length::mm(flow.width() * 0.9) - lettering::width(&rest, SMALL);
        let least = Length::mm(flow.width() * 0.3);
        let name = lettering::shortened(&pull.name, SMALL, room.max(least));
        flow.ticked(&format!("{name}{rest}"));
    }
    if plan.order.len() > PULLS {
        flow.paragraph(&format!("And {} more.", plan.order.len() - PULLS));
    }
    let short = short_parts(plan);
    if let Some((mold, parts)) = short.iter().next() {
        let name = plan.molds.get(mold).map_or("", |mold| &mold.name);
        let name = lettering::shortened(name, SMALL, Length::mm(flow.width() * 0.3));
        flow.paragraph(&format!(
            "A layout was changed since: of {name} these pulls make {} of {} wanted. Plan the batch again.",
            parts.made, parts.wanted
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Paper, TemplateSettings, bench_card};
    use super::*;
    use crate::drawing::{Form, Role};
    use crate::edit::Edit;
    use crate::plan::{Batch, ExtraStock, MoldId, PartWanted, Plastic, Pull, Stock, Turn, sample};

    const RED: StockId = StockId(2);

    /// The sample with a second pull in red PVC of 0.75 mm, and three kits in order.
    fn two_sheets() -> Plan {
        let plan = sample();
        let stock = Stock { plastic: Plastic::Pvc, gauge: Length::mm(0.75), ..plan.stock };
        let red = ExtraStock { colour: "red".to_owned(), stock };
        let one = |stock| PartWanted { per_kit: 1, stock };
        let batch = Batch {
            kits: 3,
            stocks: [(RED, red)].into(),
            wanted: [(MoldId(1), one(Some(RED))), (MoldId(2), one(None))].into(),
            ..Batch::default()
        };
        let placements = plan.pulls[&PullId(1)].placements.clone();
        let pull = Pull { stock: Some(RED), placements, ..Pull::new("Red ones") };
        let order = [(1, 3), (2, 3)].map(|(id, times)| Turn { pull: PullId(id), times });
        let edits = [
            Edit::SetBatch(Box::new(batch)),
            Edit::AddPull(PullId(2), pull),
            Edit::SetOrder(order.to_vec()),
        ];
        plan.apply(&Edit::All(edits.into())).expect("fits")
    }

    /// All words of the card, and how many boxes there are to tick.
    fn card(plan: &Plan, pull: u32) -> (String, usize) {
        let settings = TemplateSettings::new(Paper::A4, "today");
        let pages = bench_card(plan, PullId(pull), &settings).expect("a card");
        let marks = pages.iter().flat_map(|page| &page.layers).flat_map(|layer| &layer.marks);
        let (mut words, mut boxes) = (Vec::new(), 0);
        for mark in marks {
            boxes += usize::from(mark.role == Role::TickBox);
            if let Form::Text { text, .. } = &mark.form {
                words.push(text.clone());
            }
        }
        (words.join(" "), boxes)
    }

    #[test]
    fn a_card_speaks_of_the_sheet_of_its_pull() {
        let plan = two_sheets();
        let ((own, _), (red, _)) = (card(&plan, 1), card(&plan, 2));
        assert!(own.contains("HIPS, 1.52 mm") || own.contains("HIPS, .060"), "{own}");
        assert!(!own.contains("acid gas") || own.matches("PVC").count() < 3, "{own}");
        assert!(red.contains("PVC, rigid, ") && red.contains(", red"), "{red}");
        assert!(red.contains(crate::heat::signs(Plastic::Pvc)), "{red}");
        assert!(red.contains("acid gas"), "{red}");
    }

    #[test]
    fn the_order_of_pulls_is_said_only_when_there_is_one_and_what_it_lacks() {
        assert!(!card(&sample(), 1).0.contains("Pulls in this order"));
        let mut plan = two_sheets();
        let (words, boxes) = card(&plan, 2);
        assert!(words.contains("Pull 1, 3 times in HIPS"), "{words}");
        assert!(words.contains("Red ones, 3 times in PVC"), "{words}");
        assert!(words.contains("(this card)") && !words.contains("changed since"), "{words}");
        let off = plan.pulls[&PullId(2)].placements.iter().find(|(_, p)| p.mold == MoldId(1));
        let off = Edit::TakeOff(PullId(2), [*off.expect("stands there").0].into());
        plan = plan.apply(&off).expect("takes off");
        let (words, fewer) = card(&plan, 2);
        assert!(words.contains("these pulls make 0 of 3 wanted"), "{words}");
        // One mold less to set, all else to be ticked as before.
        assert_eq!(boxes, fewer + 1);
    }

    #[test]
    fn blanks_of_another_sheet_are_cut_from_that_sheet_and_its_offcuts() {
        let mut plan = two_sheets();
        let (words, _) = card(&plan, 2);
        assert!(words.contains("3 blanks of"), "{words}");
        assert!(words.contains("Whole sheets to buy: 1"), "{words}");
        // Of the plan's own sheet the card says what the cut list says: as many as one sheet gives.
        let (own, _) = card(&plan, 1);
        assert!(own.contains("24 blanks of"), "{own}");
        assert!(own.contains("take 3 blanks of this sheet"), "{own}");
        plan.machine.blank.width = Length::mm(3000.0);
        let (words, _) = card(&plan, 2);
        assert!(words.contains("No blank is cut: "), "{words}");
    }
}
