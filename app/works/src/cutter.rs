//! Cuts a plan's sheets into its blanks, and maps which size of blank wastes least; both told in words and pictures.

use engine::drawing::{draw_cutting, draw_yield};
use engine::file::load;
use engine::plan::{CutBy, Plan, Size};
use engine::stock::{
    PlannedCut, Sizes, Snaps, Wanted, YieldMap, cut_plan, most_of_one, plan_cutting, size_words,
    snaps, step_words, steps, summary, yield_map,
};
use engine::units::Length;
use serde::{Deserialize, Serialize};

use super::Answer;
use super::pictures::picture;

/// Patterns that are shown; more are counted.
const PATTERNS: usize = 12;

/// A plan's sheets cut up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CutTold {
    /// How many blanks out of how many sheets, and how much of them is used.
    pub summary: String,
    /// What to buy, and what it costs when the price is known.
    pub buy: String,
    /// How this plastic is parted, and how far to trust that.
    pub parting: String,
    /// Whether it does not snap although it is to be snapped.
    pub is_amiss: bool,
    /// Each way a sheet is cut.
    pub patterns: Vec<PatternTold>,
    /// What is left over and worth keeping.
    pub left: Vec<Piece>,
    /// The offcuts that are used, by size.
    pub used: Vec<Piece>,
}

/// One way a sheet is cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PatternTold {
    /// What is cut up, and how often.
    pub title: String,
    /// The sheet as SVG.
    pub picture: String,
    /// What to do, in order.
    pub steps: Vec<String>,
}

/// Pieces of one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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

/// How much of the sheet each size of blank uses.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct YieldTold {
    /// The map as SVG.
    pub picture: String,
    /// Sizes that waste less than those about them, the best first.
    pub peaks: Vec<Piece>,
    /// The same of the plan's own blank.
    pub here: String,
}

/// The plan's sheets cut up.
pub(super) fn cut(plan: &str) -> Result<Answer, String> {
    let plan = load(plan).map_err(|error| error.to_string())?;
    let cut = cut_plan(&plan).map_err(|error| error.to_string())?;
    let style = plan.settings.lengths;
    let (parted, trust) = snaps(plan.stock.plastic, plan.stock.gauge);
    let is_amiss = plan.cutting.by == CutBy::Snap && parted == Snaps::No;
    let n_offcuts = cut.sheets.offcuts.len();
    let patterns = cut.patterns().enumerate().take(PATTERNS);
    let patterns = patterns.map(|(n, (pattern, times))| {
        let size = size_words(pattern.sheet, style);
        let title = match (n < n_offcuts, times) {
            (true, _) => format!("Offcut of {size}"),
            (false, 1) => format!("One sheet of {size}"),
            (false, times) => format!("{times} sheets of {size}, all alike"),
        };
        let sheet = pattern.sheet;
        // Lettering as high as it takes to be read in a panel.
        let capitals = (sheet.width / 46.0).max(sheet.depth / 68.0);
        let label = format!("{title}, cut into {} blanks", pattern.count(0));
        let picture = picture(&draw_cutting(pattern, style, capitals), &label);
        let steps = steps(pattern);
        let steps = steps.iter().map(|step| step_words(step, plan.cutting.by, style)).collect();
        PatternTold { title, picture, steps }
    });
    let used = cut.sheets.offcuts.iter().map(|&(n, _)| piece(&plan, cut.offcuts[n], 1)).collect();
    let left = cut.left_over().into_iter().map(|(size, count)| piece(&plan, size, count)).collect();
    Ok(Answer::Cut(Box::new(CutTold {
        summary: summary(&cut, style),
        buy: to_buy(&plan, &cut),
        parting: format!("{} ({})", parted.words(), trust.words()),
        is_amiss,
        patterns: patterns.collect(),
        left,
        used,
    })))
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
    let proof = match (plan.cutting.blanks_wanted, cut.sheets.is_proved(), cut.is_most) {
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
    Ok(Answer::Mapped(Box::new(YieldTold {
        picture: picture(&draw_yield(&map, Some(blank), style), &label),
        peaks: peaks(&plan, &map),
        here: format!(
            "Your blank of {}: {count} of a sheet, {:.0} % used.",
            size_words(blank, style),
            share * 100.0
        ),
    })))
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

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::sample;
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
        let Ok(Answer::Cut(told)) = cut(&save(&plan())) else { panic!("no cut") };
        assert_eq!(told.summary, "24 blanks of 12 x 16 in out of 1 whole sheet, 100 % used.");
        let [pattern] = told.patterns.as_slice() else { panic!("{told:?}") };
        assert!(pattern.picture.starts_with("<svg") && pattern.picture.contains(">24</text>"));
        assert_eq!(pattern.steps.len(), 2);
        assert!(told.left.is_empty() && told.used.is_empty());
    }

    #[test]
    fn a_map_is_told_with_its_peaks_and_the_plans_own_blank() {
        let ask = Mapping { plan: save(&plan()), least: 254.0, most: 609.6, step: 25.4 };
        let Ok(Answer::Mapped(told)) = mapped(&ask) else { panic!("no map") };
        assert_eq!(told.here, "Your blank of 12 x 16 in: 24 of a sheet, 100 % used.");
        assert!(
            told.peaks.iter().any(|peak| peak.words == "12 x 16 in: 24 of a sheet, 100 % used")
        );
        assert!(mapped(&Mapping { least: -1.0, ..ask }).is_err());
    }
}
