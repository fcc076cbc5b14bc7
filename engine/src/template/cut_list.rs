//! The cut list: each way a sheet is cut, drawn to scale, with its steps to tick off.

use super::card::page_size;
use super::flow::{Flow, SMALL};
use super::page::Head;
use super::{Page, TemplateError, TemplateSettings};
use crate::drawing::{Form, Mark, draw_cutting};
use crate::geometry::{Point, Vec2};
use crate::plan::{CutBy, Plan, Size, Stock};
use crate::stock::{
    Pattern, PlannedCut, blanks_words, cut_plan, size_words, snap_words, step_words, steps, summary,
};

/// The largest picture of a sheet, its dimensions included.
const PICTURE: Vec2 = Vec2 { x: 170.0, y: 132.0 };
/// White above and below a picture.
const WHITE: f64 = 3.0;
/// Patterns that are drawn; more are counted.
const PATTERNS: usize = 12;

/// What to beware of while cutting (common practice).
const CAUTIONS: [&str; 3] = [
    "Cut away from the hand that holds the rule, eyes covered. A scoring blade jumps: clamp the rule, begin lightly, and let \
     several strokes do the work.",
    "Score the whole width from edge to edge, film on. Lay the groove over an edge, groove up, and press down evenly; do not \
     force it, score deeper. Long cuts are easier with a board on top.",
    "A saw throws chips and grabs thin sheet: hold it flat, fine teeth, gloves off. Snapped edges are sharp.",
];

/// The cut list of a plan: what to buy, each pattern drawn with its steps, what is left over, cautions.
///
/// `further` are sizes with counts besides the plan's own blank. On Letter or A4, and on as many pages as its patterns and steps need.
///
/// # Errors
/// Says why the sheet cannot be cut up, or that the margin is outside its range.
pub fn cut_list(
    plan: &Plan,
    further: &[(Size, u32)],
    settings: &TemplateSettings,
) -> Result<Vec<Page>, TemplateError> {
    settings.check()?;
    let cut = cut_plan(plan, further)?;
    let head = Head { plan: plan.name.clone(), pull: "Cut list".to_owned() };
    let about = format!("cut list, {}", settings.date);
    let size = page_size(settings.paper, plan.settings.lengths);
    let mut flow = Flow::new(size, settings.margin, head, about);
    what_to_buy(&mut flow, plan, &cut);
    let n_offcuts = cut.sheets.offcuts.len();
    for (n, (pattern, times)) in cut.patterns().enumerate().take(PATTERNS) {
        picture(
            &mut flow,
            plan,
            pattern,
            &title(plan, (pattern, cut.sizes().count()), n < n_offcuts, times),
        );
        for step in steps(pattern) {
            let words = step_words(&step, plan.cutting.by, plan.settings.lengths);
            flow.ticked(&format!("{}. {words}", step.number));
        }
    }
    let more = cut.patterns().count().saturating_sub(PATTERNS);
    if more > 0 {
        flow.paragraph(&format!("And {more} more patterns that are not drawn here."));
    }
    left_over(&mut flow, plan, &cut);
    flow.section("Beware (common practice)");
    CAUTIONS.iter().for_each(|caution| flow.paragraph(caution));
    Ok(flow.pages("Cut list"))
}

fn what_to_buy(flow: &mut Flow, plan: &Plan, cut: &PlannedCut) {
    let (stock, style) = (&plan.stock, plan.settings.lengths);
    flow.section("Sheets");
    let sheet = size_words(stock.sheet, style);
    let gauge = style.show_gauge(stock.gauge);
    flow.paragraph(&format!("{}, {gauge}, sheets of {sheet}.", stock.plastic.name()));
    flow.paragraph(&summary(cut, style));
    flow.paragraph(&to_buy(stock, cut));
    if plan.cutting.by == CutBy::Snap {
        flow.paragraph(&snap_words(stock.plastic, stock.gauge));
    }
    let way = if plan.cutting.may_turn {
        "Marks are from the left or the front edge of the piece in hand, as it lay on the sheet."
    } else {
        "Blanks lie one way only: keep track of the grain. Marks are from the left or the front edge of the piece in hand, \
         as it lay on the sheet."
    };
    flow.paragraph(way);
}

/// How many whole sheets to buy, and whether fewer would do.
pub(super) fn to_buy(stock: &Stock, cut: &PlannedCut) -> String {
    let cost = stock.price.and_then(|price| cut.cost(price));
    let cost = cost.map_or_else(String::new, |cost| format!(", {cost} in all"));
    let proof =
        if cut.sheets.is_proved() { "no way takes fewer" } else { "fewer are not ruled out" };
    format!("Whole sheets to buy: {}{cost}; {proof}.", cut.sheets.n_sheets)
}

fn title(
    plan: &Plan,
    (pattern, n_sizes): (&Pattern, usize),
    is_offcut: bool,
    times: u32,
) -> String {
    let size = size_words(pattern.sheet, plan.settings.lengths);
    let title = match (is_offcut, times) {
        (true, _) => format!("Offcut of {size}"),
        (false, 1) => format!("One sheet of {size}"),
        (false, n) => format!("{n} sheets of {size}, all alike"),
    };
    if n_sizes > 1 { format!("{title}: {}", blanks_words(pattern, n_sizes)) } else { title }
}

/// The sheet under its title, to a round scale, in the middle of the page.
fn picture(flow: &mut Flow, plan: &Plan, pattern: &Pattern, title: &str) {
    let style = plan.settings.lengths;
    // Lettering on the sheet is as much larger as the picture is smaller; the dimensions need room of their own.
    let whole = pattern.sheet.rect();
    let room = PICTURE - Vec2::new(24.0, 14.0);
    let least = (whole.width().to_mm() / room.x).max(whole.depth().to_mm() / room.y);
    let times = libm::ceil(least).max(1.0);
    let drawing = draw_cutting(pattern, style, SMALL * times);
    let bounds = drawing.bounds;
    let (wide, deep) = (bounds.width().to_mm() / times, bounds.depth().to_mm() / times);
    // The title, the picture and what is said under it stay together.
    flow.need(deep + WHITE * 2.0 + 16.0);
    flow.section(title);
    flow.skip(WHITE);
    let corner = Point::new(flow.left() + (flow.width() - wide).max(0.0) / 2.0, flow.top() - deep);
    for mark in drawing.marks {
        let form = mark.form.mapped(|p| corner + (p - bounds.min) * (1.0 / times));
        flow.add(Mark::new(mark.role, sized(form)));
    }
    flow.skip(deep);
    flow.paragraph(&format!("Drawn 1 : {times}. Numbers at the cuts are those of the steps."));
    flow.skip(WHITE / 2.0);
}

fn sized(form: Form) -> Form {
    match form {
        Form::Text { at, anchor, text, .. } => Form::Text { at, size: SMALL, anchor, text },
        other => other,
    }
}

fn left_over(flow: &mut Flow, plan: &Plan, cut: &PlannedCut) {
    let left = cut.left_over();
    if left.is_empty() {
        return;
    }
    flow.section("Keep what is left");
    let pieces = left.iter().take(12).map(|(size, count)| {
        let size = size_words(*size, plan.settings.lengths);
        if *count > 1 { format!("{count} of {size}") } else { size }
    });
    flow.paragraph(&format!(
        "{}. Write plastic and gauge on each.",
        pieces.collect::<Vec<_>>().join("; ")
    ));
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::geometry::Rect;
    use crate::plan::{CuttingHabits, Offcut, sample};
    use crate::template::Paper;
    use crate::units::{Length, LengthStyle};

    fn plan(width: f64, depth: f64, blanks: u32) -> Plan {
        let mut plan = sample();
        plan.machine.blank = Size::new(Length::inches(width), Length::inches(depth));
        plan.settings.lengths = LengthStyle::FractionInches;
        let size = Size::new(Length::inches(20.0), Length::inches(44.0));
        let offcuts = vec![Offcut { size, count: 1, stock: None }];
        plan.cutting = Arc::new(CuttingHabits {
            blanks_wanted: Some(blanks),
            offcuts,
            ..CuttingHabits::default()
        });
        plan
    }

    #[test]
    fn everything_lies_within_the_margin_on_every_paper_and_steps_flow_on() {
        for (plan, most) in
            [(plan(12.0, 16.0, 50), 4), (plan(15.25, 20.5, 40), 4), (plan(3.1, 4.3, 900), 12)]
        {
            for paper in [Paper::Letter, Paper::A4] {
                let settings = TemplateSettings::new(paper, "today");
                let pages = cut_list(&plan, &[], &settings).expect("a list");
                assert!(pages.len() <= most, "{} pages", pages.len());
                for page in &pages {
                    let sheet = Rect::sized(Point::ORIGIN, page.width, page.height);
                    let reach = sheet.grown(-settings.margin).grown(Length::mm(0.01));
                    for mark in page.layers.iter().flat_map(|layer| &layer.marks) {
                        let bounds = mark.form.bounds().expect("a form");
                        let is_inside = reach.contains(bounds.min) && reach.contains(bounds.max);
                        assert!(is_inside, "{mark:?} on {}", page.name);
                    }
                }
            }
        }
    }

    #[test]
    fn a_list_of_what_cannot_be_cut_says_why() {
        let refused =
            cut_list(&plan(60.0, 60.0, 1), &[], &TemplateSettings::new(Paper::A4, "today"));
        let words = refused.expect_err("too large").to_string();
        assert!(words.contains("does not come out of any sheet"), "{words}");
    }
}
