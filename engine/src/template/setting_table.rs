//! The table of the bench card: which mold is set where, in the order they are set.

use super::flow::{Flow, LINE};
use crate::drawing::{Anchor, lettering, name_words};
use crate::geometry::{Rect, tolerance};
use crate::plan::{Mold, MoldKind, Placement, PlacementId, Plan, Pull};
use crate::units::{Length, LengthStyle};

/// Molds in the same ring round the middle of the blank are set tallest first.
const RING: f64 = 25.0;
/// From one row to the next.
const ROW: f64 = 5.6;
/// Where the two counts end, where the name begins and ends, and where the seven figures end, as shares of
/// the width.
const COUNTS: [f64; 2] = [0.055, 0.105];
const NAME: [f64; 2] = [0.125, 0.44];
const FIGURES: [f64; 7] = [0.51, 0.585, 0.665, 0.755, 0.835, 0.92, 1.0];
/// The box to tick.
const BOX: f64 = 3.0;

/// One row of the table.
#[derive(Debug)]
struct Row<'a> {
    id: PlacementId,
    mold: &'a Mold,
    placement: &'a Placement,
    bounds: Rect,
}

/// The molds in the order they are set, each with a box to tick.
pub(super) fn setting_table(flow: &mut Flow, plan: &Plan, layout: &Pull) {
    flow.section("Set the molds, from the middle outwards");
    let style = plan.settings.lengths;
    let rows = setting_order(plan, layout);
    if rows.is_empty() {
        flow.paragraph("No mold stands on this blank yet.");
        return;
    }
    let unit = match style {
        LengthStyle::Millimetres => "millimetres",
        LengthStyle::DecimalInches | LengthStyle::FractionInches => "inches",
    };
    flow.paragraph(&format!(
        "Lengths in {unit}, from the left and the front edge of the blank; turns counter-clockwise."
    ));
    head(flow);
    for (n, row) in rows.iter().enumerate() {
        if flow.need(ROW) {
            head(flow);
        }
        row.write(flow, n + 1, style);
    }
}

/// The molds from the middle of the blank outwards, the tallest of each ring first (common practice).
fn setting_order<'a>(plan: &'a Plan, layout: &'a Pull) -> Vec<Row<'a>> {
    let middle = plan.machine.blank.rect().center();
    let rows = layout.placements.iter().filter_map(|(&id, placement)| {
        let mold = plan.molds.get(&placement.mold)?;
        let region = mold.footprint.region(tolerance::DRAW).placed(placement.pose);
        let at = placement.pose.at;
        let bounds = region.bounds().unwrap_or(Rect::new(at, at));
        Some(Row { id, mold, placement, bounds })
    });
    let mut rows: Vec<Row<'_>> = rows.collect();
    let ring = |row: &Row<'_>| libm::floor(row.placement.pose.at.distance(middle) / RING);
    let height = |row: &Row<'_>| row.mold.standing_height().to_mm();
    rows.sort_by(|a, b| {
        let outwards = ring(a).total_cmp(&ring(b));
        outwards.then(height(b).total_cmp(&height(a))).then(a.id.cmp(&b.id))
    });
    rows
}

fn head(flow: &mut Flow) {
    flow.need(LINE * 2.0 + ROW * 2.0);
    let width = flow.width();
    flow.words_at(FIGURES[4] * width, Anchor::End, "centre from");
    flow.words_at(FIGURES[6] * width, Anchor::End, "outline from");
    flow.skip(LINE);
    for (end, word) in COUNTS.into_iter().zip(["set", "no."]) {
        flow.words_at(end * width, Anchor::End, word);
    }
    flow.words_at(NAME[0] * width, Anchor::Start, "mold");
    let words = ["height", "spacer", "turn", "left", "front", "left", "front"];
    for (end, word) in FIGURES.into_iter().zip(words) {
        flow.words_at(end * width, Anchor::End, word);
    }
    flow.line(0.0, width, LINE - 0.8);
    flow.skip(LINE + 0.8);
}

impl Row<'_> {
    fn write(&self, flow: &mut Flow, n: usize, style: LengthStyle) {
        let width = flow.width();
        flow.tick_box(BOX);
        flow.words_at(COUNTS[0] * width, Anchor::End, &n.to_string());
        flow.words_at(COUNTS[1] * width, Anchor::End, &self.id.0.to_string());
        let room = Length::mm((NAME[1] - NAME[0]) * width);
        let name = lettering::shortened(&self.name(), super::flow::SMALL, room);
        flow.words_at(NAME[0] * width, Anchor::Start, &name);
        for (end, figure) in FIGURES.into_iter().zip(self.figures(style)) {
            flow.words_at(end * width, Anchor::End, &figure);
        }
        flow.skip(ROW);
    }

    fn name(&self) -> String {
        let name = name_words(self.mold, self.placement.copy.0);
        match self.mold.kind {
            MoldKind::Male => name,
            MoldKind::Female => format!("{name} (female)"),
        }
    }

    fn figures(&self, style: LengthStyle) -> [String; 7] {
        let bare = |length: Length| {
            let shown = style.show(length);
            shown.rsplit_once(' ').map_or(shown.clone(), |(number, _)| number.to_owned())
        };
        let spacer = self.mold.spacer;
        let at = self.placement.pose.at;
        let turn = libm::round(self.placement.pose.turn.to_degrees() * 10.0) / 10.0;
        [
            bare(self.mold.height),
            if spacer > Length::ZERO { bare(spacer) } else { "\u{2013}".to_owned() },
            if turn > 0.0 { format!("{turn}\u{b0}") } else { "\u{2013}".to_owned() },
            bare(Length::mm(at.x)),
            bare(Length::mm(at.y)),
            bare(Length::mm(self.bounds.min.x)),
            bare(Length::mm(self.bounds.min.y)),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{PullId, sample};

    #[test]
    fn molds_are_set_from_the_middle_outwards_and_the_tallest_of_a_ring_first() {
        let plan = sample();
        let layout = &plan.pulls[&PullId(1)];
        let order: Vec<u32> = setting_order(&plan, layout).iter().map(|row| row.id.0).collect();
        // Rings of 25 mm: 5 at 65 mm; 2 at 76; 4 at 121; then 3 (26 mm), 1 (24 mm) and 6 (18 mm).
        assert_eq!(order, [5, 2, 4, 3, 1, 6]);
    }
}
