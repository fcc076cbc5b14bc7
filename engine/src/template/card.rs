//! The bench card: what to have at hand for one pull, in the order of the work.

use super::flow::{Flow, LINE, SMALL};
use super::page::Head;
use super::setting_table::setting_table;
use super::{Page, Paper, TemplateError, TemplateSettings, card_batch};
use crate::drawing::{Anchor, Form, Mark, Role, draw, lettering};
use crate::geometry::{Point, Vec2};
use crate::heat;
use crate::plan::{Film, Plan, Pull, PullId, Stock, Texture};
use crate::rules::{Severity, Subject, check};
use crate::units::{Length, LengthStyle};

/// The picture of the layout: its largest size, and white round it.
const PICTURE: Vec2 = Vec2 { x: 86.0, y: 62.0 };
const WHITE: f64 = 4.0;
/// From one line to write on to the next.
const NOTE_LINE: f64 = 8.0;
/// Pages that a card takes unless its molds need more.
const PAGES: usize = 2;
/// Findings that are listed; more are counted.
const FINDINGS: usize = 5;

/// The bench card of one pull: sheet, layout, molds in the order they are set, heat, notes and cautions.
///
/// One page of Letter or A4 (whichever the settings say; with one large sheet, the paper that goes with the
/// units), and as many more as the molds need.
///
/// # Errors
/// Names an unknown pull, or a margin outside its range.
pub fn bench_card(
    plan: &Plan,
    pull: PullId,
    settings: &TemplateSettings,
) -> Result<Vec<Page>, TemplateError> {
    let layout = plan.pulls.get(&pull).ok_or(TemplateError::NoSuchPull(pull))?;
    settings.check()?;
    // Whoever has much to set and to pull has less room to be told how blanks are cut; the cut list tells all of it.
    let mut cards = [8, 4, 2, 1].iter().map(|n| card(plan, (pull, layout), settings, *n));
    let fits = cards.find(|pages| pages.len() <= PAGES);
    Ok(fits.unwrap_or_else(|| card(plan, (pull, layout), settings, 0)))
}

/// The card with so many steps of cutting.
fn card(
    plan: &Plan,
    (pull, layout): (PullId, &Pull),
    settings: &TemplateSettings,
    n_steps: usize,
) -> Vec<Page> {
    let head = Head { plan: plan.name.clone(), pull: layout.name.clone() };
    let about = format!("bench card, {}", settings.date);
    let mut flow =
        Flow::new(page_size(settings.paper, plan.settings.lengths), settings.margin, head, about);
    sheet_and_picture(&mut flow, plan, pull);
    findings(&mut flow, plan, pull);
    card_batch::cut(&mut flow, plan, pull, n_steps);
    card_batch::order(&mut flow, plan, pull);
    setting_table(&mut flow, plan, layout);
    heat_plan(&mut flow, plan.stock_of_pull(pull), settings);
    notes(&mut flow);
    cautions(&mut flow, plan.stock_of_pull(pull));
    link(&mut flow, settings);
    flow.pages("Bench card")
}

/// The paper upright.
pub(super) fn page_size(paper: Paper, style: LengthStyle) -> Vec2 {
    let inches = matches!(style, LengthStyle::DecimalInches | LengthStyle::FractionInches);
    let spare = if inches { Paper::Letter } else { Paper::A4 };
    let sides = paper.sides().or(spare.sides());
    sides.map_or(Vec2::ZERO, |[short, long]| Vec2::new(short.to_mm(), long.to_mm()))
}

/// What the sheet is on the left, the layout on the right.
fn sheet_and_picture(flow: &mut Flow, plan: &Plan, pull: PullId) {
    let top = flow.top() - WHITE / 2.0;
    let corner = Point::new(flow.left() + flow.width(), top);
    let depth = picture(flow, plan, pull, corner);
    let width = flow.width() - PICTURE.x - WHITE;
    flow.section("Sheet");
    for line in sheet_lines(plan, pull) {
        flow.paragraph_within(&line, width);
    }
    flow.skip((flow.top() - (top - depth)).max(0.0));
}

fn sheet_lines(plan: &Plan, pull: PullId) -> Vec<String> {
    let (machine, stock, style) = (&plan.machine, plan.stock_of_pull(pull), plan.settings.lengths);
    let extra = plan.pulls.get(&pull).and_then(|pull| plan.batch.stocks.get(&pull.stock?));
    let colour = extra.map_or("", |extra| &extra.colour);
    let colour = if colour.is_empty() { String::new() } else { format!(", {colour}") };
    let opening = machine.opening();
    let mut lines = vec![
        format!("{}, {}{colour}", stock.plastic.name(), style.show_gauge(stock.gauge)),
        format!("Blank {} x {}", style.show(machine.blank.width), style.show(machine.blank.depth)),
        format!("Opening {} x {}", style.show(opening.width()), style.show(opening.depth())),
        "Widths are left to right, depths front to back.".to_owned(),
    ];
    lines.push(
        match stock.film {
            Film::None => "No film on the sheet; look again before heating.",
            Film::OneFace => "Film on one face: peel it before heating; check the other.",
            Film::BothFaces => "Film on both faces: peel both before heating.",
        }
        .to_owned(),
    );
    match stock.texture {
        Texture::Smooth => {}
        Texture::AwayFromMold => lines.push("Grain away from the mold.".to_owned()),
        Texture::AgainstMold => lines.push("Grain against the mold.".to_owned()),
    }
    lines
}

/// The layout, smaller, with its right top at `corner`; returns its depth.
fn picture(flow: &mut Flow, plan: &Plan, pull: PullId, corner: Point) -> f64 {
    let blank = plan.machine.blank.rect();
    let (wide, deep) = (blank.width().to_mm(), blank.depth().to_mm());
    let scale = (PICTURE.x / wide).min(PICTURE.y / deep);
    let origin = corner - Vec2::new(wide * scale, deep * scale);
    let small = |p: Point| origin + p.to_vec2() * scale;
    for mark in draw(plan, pull, &[]).marks {
        match mark.role {
            Role::ClampLip => flow.add(Mark::new(mark.role, mark.form.mapped(small))),
            Role::Opening | Role::Blank => {
                flow.add(Mark::new(Role::Picture, mark.form.mapped(small)));
            }
            Role::Mold => {
                let outline = mark.form.mapped(small);
                if let Some(number) = number_within(&outline, mark.subject) {
                    flow.add(number);
                }
                flow.add(Mark::new(Role::Picture, outline));
            }
            _ => {}
        }
    }
    deep * scale
}

/// The placement's number in the middle of its small outline, if there is room.
fn number_within(outline: &Form, subject: Option<Subject>) -> Option<Mark> {
    let Some(Subject::Placement(id)) = subject else { return None };
    let room = outline.bounds()?;
    let words = id.0.to_string();
    let white = Length::mm(1.5);
    let has_room =
        lettering::width(&words, SMALL) + white < room.width() && SMALL + white < room.depth();
    let at = room.center() - Vec2::new(0.0, SMALL.to_mm() / 2.0);
    has_room.then(|| Mark::new(Role::Number, Form::text(at, SMALL, Anchor::Middle, words)))
}

/// What the rules say, the worst first; a card must not look better than its layout.
fn findings(flow: &mut Flow, plan: &Plan, pull: PullId) {
    let found = check(plan, pull);
    let loud: Vec<_> = found.iter().filter(|f| f.severity > Severity::Note).collect();
    if loud.is_empty() {
        return;
    }
    flow.section("Before you heat: the rules say of this layout");
    for finding in loud.iter().take(FINDINGS) {
        let severity = match finding.severity {
            Severity::Stop => "Stop",
            Severity::Caution => "Caution",
            Severity::Note => "Note",
        };
        flow.paragraph(&format!("{severity}: {}.", finding.title(plan, pull)));
    }
    if loud.len() > FINDINGS {
        flow.paragraph(&format!("And {} more.", loud.len() - FINDINGS));
    }
}

/// What to watch for, the window, times as ranges, drying, cooling.
fn heat_plan(flow: &mut Flow, stock: &Stock, settings: &TemplateSettings) {
    let notes = &settings.notes;
    let told = heat::heat_plan(stock, &notes.heater, notes.logged);
    flow.section("Heat and form: watch the sag, not the clock");
    flow.paragraph(heat::WATCH);
    flow.paragraph(heat::signs(stock.plastic));
    flow.paragraph(&heat::drying(stock.plastic, stock.gauge));
    flow.paragraph(&heat::window_words(stock.plastic));
    let times = told.times.iter().map(|(name, words)| format!("{name}: {words}"));
    flow.paragraph(&format!("{}. {}", times.collect::<Vec<_>>().join(". "), told.basis));
    let more = [told.faces, told.turn_down, told.knob, Some(told.cooling)];
    more.into_iter().flatten().for_each(|words| flow.paragraph(&words));
}

/// Lines to write on: what the next pull of this layout will be glad to know.
fn notes(flow: &mut Flow) {
    flow.section("What happened");
    let columns =
        [["ripples, s", "sags, s", "formed, s"], ["sag, mm or in", "vacuum, s", "cooled, s"]];
    let width = flow.width() / 3.0;
    for row in columns {
        flow.need(NOTE_LINE);
        flow.skip(NOTE_LINE - LINE);
        for (x, words) in [0.0, width, width * 2.0].into_iter().zip(row) {
            flow.words_at(x, Anchor::Start, words);
            flow.line(x + 24.0, x + width - WHITE, LINE - 1.2);
        }
        flow.skip(LINE);
    }
    for _ in 0..2 {
        flow.need(NOTE_LINE);
        flow.skip(NOTE_LINE);
        flow.line(0.0, flow.width(), -0.8);
    }
}

fn cautions(flow: &mut Flow, stock: &Stock) {
    flow.section("Beware");
    flow.paragraph(heat::caution(stock.plastic));
    for caution in heat::CAUTIONS {
        flow.paragraph(caution);
    }
}

fn link(flow: &mut Flow, settings: &TemplateSettings) {
    if let Some(link) = &settings.link {
        flow.section("Open this plan again");
        flow.unbroken(link);
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::plan::{
        CuttingHabits, ExtraStock, Offcut, Plastic, Pull, Size, StockId, Turn, sample,
    };

    // With all that a card may say: the longest names, every plastic, a dozen pulls, a link.
    #[test]
    fn a_card_takes_one_or_two_sheets_whatever_it_says() {
        let name = "Tide-pool diorama with a very long name ".repeat(2);
        let mut plan = sample();
        plan.name = name.clone();
        for mold in plan.molds.values_mut() {
            Arc::make_mut(mold).name = name.clone();
        }
        // Fourteen pulls in an order, half of them in another sheet of a long colour, sawn with many offcuts.
        let extra = ExtraStock { colour: name.clone(), stock: plan.stock };
        Arc::make_mut(&mut plan.batch).stocks.insert(StockId(1), extra);
        for id in 2..15 {
            let stock = (id % 2 == 0).then_some(StockId(1));
            plan.pulls.insert(PullId(id), Arc::new(Pull { stock, ..Pull::new(&name) }));
        }
        let turn = |id| Turn { pull: PullId(id), times: 1000 + id };
        plan.order = Arc::new((1..15).map(turn).collect());
        let size = Size::new(Length::mm(700.0), Length::mm(500.0));
        let offcuts = vec![Offcut { size, count: 3, stock: None }];
        plan.cutting = Arc::new(CuttingHabits {
            offcuts,
            blanks_wanted: Some(5000),
            ..CuttingHabits::default()
        });
        for paper in [Paper::Letter, Paper::A4] {
            for (lengths, plastic) in
                LengthStyle::ALL.into_iter().flat_map(|style| Plastic::ALL.map(|p| (style, p)))
            {
                plan.settings.lengths = lengths;
                plan.stock.plastic = plastic;
                let settings = TemplateSettings {
                    link: Some("https://example.org/#".to_owned() + &"1a".repeat(400)),
                    ..TemplateSettings::new(paper, "2026-11-26")
                };
                let pages = bench_card(&plan, PullId(1), &settings).expect("a card");
                assert!(
                    pages.len() <= 2,
                    "{} pages, {paper:?}, {lengths:?}, {plastic:?}",
                    pages.len()
                );
            }
        }
    }
}
