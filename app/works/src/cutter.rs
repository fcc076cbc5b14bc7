//! Cuts a plan's sheets into its blanks, and maps which size of blank wastes least; both told in words and pictures.

use engine::drawing::{draw_cutting, draw_yield};
use engine::file::load;
use engine::objects;
use engine::plan::{CutBy, Plan, Size, Stock};
use engine::stock::{
    Pattern, PlannedCut, Sizes, Snaps, Wanted, YieldMap, blanks_words, cut_plan, most_of_one,
    plan_cutting, size_words, snap_words, snaps, step_words, steps, summary, yield_map,
};
use engine::units::Length;
use serde::{Deserialize, Serialize};

use super::Answer;
use super::further::further_sizes;
use super::pictures::{element, picture};

/// Patterns that are shown; more are counted.
const PATTERNS: usize = 12;

/// What a panel shows, ready to stand in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Told {
    /// The gist of it, to be read out.
    pub summary: String,
    /// All of it as markup: figures, pictures and words that no user wrote.
    pub markup: String,
    /// What is left over of sheets cut up, or the sizes of blank that waste least, the best first.
    pub pieces: Vec<Piece>,
    /// Offcuts that are used.
    pub used: Vec<Piece>,
}

/// Pieces of one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Piece {
    /// Left to right, in millimetres.
    pub width: f64,
    /// Front to back, in millimetres.
    pub depth: f64,
    /// How many.
    pub count: u32,
    /// Size and, where there are several, count in the user's unit; of a size of blank also what it brings.
    pub words: String,
}

/// Which sizes of blank to look at, in millimetres.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mapping {
    /// The plan in the saved form.
    pub plan: String,
    /// The shortest side.
    pub least: f64,
    /// The longest side.
    pub most: f64,
    /// From one to the next.
    pub step: f64,
}

/// The plan's sheets cut up.
pub(super) fn cut(plan: &str, further: &str) -> Result<Answer, String> {
    let plan = load(plan).map_err(|error| error.to_string())?;
    let cut =
        cut_plan(&plan, &further_sizes(further, &plan)?).map_err(|error| error.to_string())?;
    let style = plan.settings.lengths;
    let Stock { plastic, gauge, .. } = plan.stock;
    let is_amiss = plan.cutting.by == CutBy::Snap && snaps(plastic, gauge).0 == Snaps::No;
    let n_offcuts = cut.sheets.offcuts.len();
    let summary = summary(&cut, style);
    let mut markup =
        element("p", "derived cut-summary", &format!("{summary} {}", to_buy(&plan, &cut)));
    let class = if is_amiss { "warning" } else { "panel-note" };
    markup += &element("p", class, &snap_words(plastic, gauge));
    for (n, (pattern, times)) in cut.patterns().enumerate().take(PATTERNS) {
        markup += &shown(&plan, (pattern, cut.sizes().count()), n < n_offcuts, times);
    }
    let pieces: Vec<Piece> =
        cut.left_over().into_iter().map(|(size, count)| piece(&plan, size, count)).collect();
    if !pieces.is_empty() {
        let left: Vec<&str> = pieces.iter().map(|piece| piece.words.as_str()).collect();
        let words = format!("Left over and worth keeping: {}.", left.join("; "));
        markup += &element("p", "panel-note", &words);
    }
    let used = cut.sheets.offcuts.iter().map(|&(n, _)| piece(&plan, cut.offcuts[n], 1)).collect();
    Ok(Answer::Told(Box::new(Told { summary, markup, pieces, used })))
}

/// One way a sheet is cut: its title, its picture and its steps.
fn shown(
    plan: &Plan,
    (pattern, n_sizes): (&Pattern, usize),
    is_offcut: bool,
    times: u32,
) -> String {
    let style = plan.settings.lengths;
    let size = size_words(pattern.sheet, style);
    let title = match (is_offcut, times) {
        (true, _) => format!("Offcut of {size}"),
        (false, 1) => format!("One sheet of {size}"),
        (false, times) => format!("{times} sheets of {size}, all alike"),
    };
    let blanks = blanks_words(pattern, n_sizes);
    let title = if n_sizes > 1 { format!("{title}: {blanks}") } else { title };
    // Lettering as high as it takes to be read in a panel.
    let capitals = (pattern.sheet.width / 46.0).max(pattern.sheet.depth / 68.0);
    let label = format!("{title}, cut into {blanks}");
    let picture = picture(&draw_cutting(pattern, style, capitals), &label);
    let steps: Vec<String> = steps(pattern)
        .iter()
        .map(|step| element("li", "", &step_words(step, plan.cutting.by, style)))
        .collect();
    let title = element("h3", "", &title);
    let steps = steps.concat();
    format!(
        "<section class=\"cut-pattern\">{title}{picture}<ol class=\"steps\">{steps}</ol></section>"
    )
}

fn piece(plan: &Plan, size: Size, count: u32) -> Piece {
    let words = size_words(size, plan.settings.lengths);
    let words = if count > 1 { format!("{count} of {words}") } else { words };
    Piece { width: size.width.to_mm(), depth: size.depth.to_mm(), count, words }
}

fn to_buy(plan: &Plan, cut: &PlannedCut) -> String {
    let cost = plan.stock.price.and_then(|price| cut.cost(price));
    let cost = cost.map_or_else(String::new, |cost| format!(", {cost} in all"));
    let n = cut.sheets.n_sheets;
    let count = plan.cutting.blanks_wanted.or(cut.further.first().map(|one| one.count));
    let proof = match (count, cut.sheets.is_proved(), cut.is_most) {
        (None, _, true) => "no way of cutting gives more",
        (None, ..) => "more are not ruled out",
        (Some(_), true, _) => "no way takes fewer",
        (Some(_), ..) => "fewer are not ruled out",
    };
    format!("Whole sheets to buy: {n}{cost}; {proof}.")
}

/// The map of blanks out of the plan's sheet.
pub(super) fn mapped(ask: &Mapping) -> Result<Answer, String> {
    let plan = load(&ask.plan).map_err(|error| error.to_string())?;
    let [least, most, step] = [ask.least, ask.most, ask.step].map(Length::mm);
    let sizes = Sizes { least, most, step, may_turn: plan.cutting.may_turn };
    let cutting = plan_cutting(&plan);
    let map = yield_map(plan.stock.sheet, sizes, &cutting).map_err(|error| error.to_string())?;
    let (blank, style) = (plan.machine.blank, plan.settings.lengths);
    let one = Wanted { size: blank, may_turn: sizes.may_turn, count: 1 };
    let count =
        most_of_one(plan.stock.sheet, one, &cutting).map_err(|error| error.to_string())?.count(0);
    let whole = plan.stock.sheet.rect().area();
    let share = f64::from(count) * (blank.rect().area() / whole);
    let sheet = size_words(plan.stock.sheet, style);
    let label = format!("How much of a sheet of {sheet} each size of blank uses");
    let size = size_words(blank, style);
    let summary = format!("Your blank of {size}: {count} of a sheet, {:.0} % used.", share * 100.0);
    let picture = picture(&draw_yield(&map, Some(blank), style), &label);
    let markup = picture + &element("p", "derived", &summary);
    let (pieces, used) = (peaks(&plan, &map), Vec::new());
    Ok(Answer::Told(Box::new(Told { summary, markup, pieces, used })))
}

fn peaks(plan: &Plan, map: &YieldMap) -> Vec<Piece> {
    let told = map.peaks.iter().map(|peak| {
        let size = size_words(peak.size, plan.settings.lengths);
        let words = format!("{size}: {} of a sheet, {:.0} % used", peak.count, peak.share * 100.0);
        let (width, depth) = (peak.size.width.to_mm(), peak.size.depth.to_mm());
        Piece { width, depth, count: peak.count, words }
    });
    told.collect()
}

objects!(Told, Piece);

#[cfg(test)]
mod tests {
    use engine::file::save;
    use std::sync::Arc;

    use engine::plan::{CuttingHabits, sample};
    use engine::units::LengthStyle;

    use super::*;

    fn plan() -> Plan {
        let mut plan = sample();
        plan.settings.lengths = LengthStyle::FractionInches;
        plan.stock.sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        plan.machine.blank = Size::new(Length::inches(12.0), Length::inches(16.0));
        plan
    }

    // 24 blanks of 12 x 16 in are a sheet of 48 x 96 in (common practice).
    #[test]
    fn a_sheet_is_told_in_words_steps_and_a_picture() {
        let Ok(Answer::Told(told)) = cut(&save(&plan()), "") else { panic!("no cut") };
        assert_eq!(told.summary, "24 blanks of 12 x 16 in out of 1 whole sheet, 100 % used.");
        let count = |words: &str| told.markup.matches(words).count();
        assert_eq!((count("<svg"), count("<li"), count(">24</text>")), (1, 2, 2));
        assert!(told.pieces.is_empty() && told.used.is_empty());
    }

    #[test]
    fn further_sizes_are_told_with_their_letters() {
        let mut plan = plan();
        let habits = CuttingHabits { blanks_wanted: Some(12), ..CuttingHabits::default() };
        plan.cutting = Arc::new(habits);
        let Ok(Answer::Told(told)) = cut(&save(&plan), "16 x 24 in * 6") else { panic!("no cut") };
        assert_eq!(
            told.summary,
            "A: 12 blanks of 12 x 16 in, B: 6 blanks of 16 x 24 in out of 1 whole sheet, 100 % used."
        );
        let has = |words: &str| told.markup.contains(words);
        assert!(has("One sheet of 48 x 96 in: 12 A, 6 B"), "{}", told.markup);
        assert!(has(">18B</text>") || has(">18A</text>"), "blanks are numbered with letters");
        assert!(cut(&save(&plan), "16 by 24").is_err());
    }

    #[test]
    fn a_map_is_told_with_its_peaks_and_the_plans_own_blank() {
        let ask = Mapping { plan: save(&plan()), least: 254.0, most: 609.6, step: 25.4 };
        let Ok(Answer::Told(told)) = mapped(&ask) else { panic!("no map") };
        assert_eq!(told.summary, "Your blank of 12 x 16 in: 24 of a sheet, 100 % used.");
        assert!(
            told.pieces.iter().any(|peak| peak.words == "12 x 16 in: 24 of a sheet, 100 % used")
        );
        assert!(mapped(&Mapping { least: -1.0, ..ask }).is_err());
    }
}
