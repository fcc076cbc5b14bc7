//! What each default rests on and how far it can be trusted, to be shown where it is set.

use super::{Measure, draft, gauge};
use crate::plan::{Settings, limits};
use crate::units::Length;

/// How far a value can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trust {
    /// Read in the source named.
    Read,
    /// Follows from first principles.
    Derived,
    /// Recalled from the literature, the page not at hand.
    Memory,
    /// Done in many shops, printed in no source we know.
    CommonPractice,
    /// Our own choice.
    Ours,
}

impl Trust {
    /// The words for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "read in the source",
            Self::Derived => "derived",
            Self::Memory => "from memory",
            Self::CommonPractice => "common practice",
            Self::Ours => "our own choice",
        }
    }
}

/// A default or a fixed value of the rules.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fact {
    /// What the page calls it.
    pub name: &'static str,
    /// The value when nothing is set; `None` for a choice of words, which the note gives.
    pub default: Option<Measure>,
    /// What it can be set to; `None` when it is fixed or a choice.
    pub range: Option<(Measure, Measure)>,
    /// How far it can be trusted.
    pub trust: Trust,
    /// What else is said in the trade, and what the value does.
    pub note: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The facts behind the rules, one for each value that can be set and for each that is fixed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facts {
    /// Times the height, between molds.
    pub clearance_factor: Fact,
    /// Which height.
    pub height_basis: Fact,
    /// The least gap between molds.
    pub least_gap: Fact,
    /// Times the height, to the clamp.
    pub edge_factor: Fact,
    /// The least margin to the clamp.
    pub least_margin: Fact,
    /// The largest height over width of a male mold.
    pub male_height_to_width: Fact,
    /// The largest depth over width of a female mold.
    pub female_height_to_width: Fact,
    /// The draft of male molds in amorphous and crystalline plastics, and of female ones.
    pub draft: [Fact; 4],
    /// The draft that a grain against the mold asks for besides.
    pub grain_draft: Fact,
    /// Below which share of the gauge the sheet is thin.
    pub thin_sheet: [Fact; 3],
}

/// What the rules rest on.
#[must_use]
pub fn facts() -> Facts {
    let settings = Settings::default();
    Facts {
        clearance_factor: clearance_factor(&settings),
        height_basis: HEIGHT_BASIS,
        least_gap: least_gap(&settings),
        edge_factor: edge_factor(&settings),
        least_margin: least_margin(&settings),
        male_height_to_width: male_height_to_width(&settings),
        female_height_to_width: female_height_to_width(&settings),
        draft: draft_facts(),
        grain_draft: GRAIN_DRAFT,
        thin_sheet: gauge::BANDS.map(|(share, severity)| Fact {
            name: severity.word(),
            default: Some(Measure::Ratio(share)),
            ..THIN_SHEET
        }),
    }
}

fn clearance_factor(settings: &Settings) -> Fact {
    Fact {
        name: "Clearance, times the height",
        default: Some(Measure::Ratio(settings.clearance.factor)),
        range: ratios(limits::CLEARANCE_FACTOR),
        trust: Trust::Memory,
        note: "Other voices say 1 (the shop minimum), 1.5, 2 (the safe figure) and 3 (steep walls, hot sheet). \
               Below 1 webs are to be expected. Steep walls, sharp corners and stretchy sheet ask for more, domes \
               and 10 degrees of draft for less.",
        source: "repeated in older sheet suppliers' guides",
    }
}

const HEIGHT_BASIS: Fact = Fact {
    name: "Height it is taken from",
    default: None,
    range: None,
    trust: Trust::CommonPractice,
    note: "The taller of the two molds, spacers counted; the mean of the two is kinder to a low mold beside a tall one.",
    source: "common practice",
};

fn least_gap(settings: &Settings) -> Fact {
    Fact {
        name: "Least gap between molds",
        default: Some(Measure::Length(settings.clearance.least)),
        range: lengths(limits::GAP_MOST),
        trust: Trust::Ours,
        note: "Room for the sheet to get down between shallow molds and for a blade to get round them.",
        source: "our own choice; a published plan for 2 or 3 shallow pieces on a 10 x 10 in bed leaves about 1 in",
    }
}

fn edge_factor(settings: &Settings) -> Fact {
    Fact {
        name: "Margin to the clamp, times the height",
        default: Some(Measure::Ratio(settings.edge.factor)),
        range: ratios(limits::EDGE_FACTOR),
        trust: Trust::CommonPractice,
        note: "0.5 is the lower bound and leaves a thin skirt; 1.5 to 2 for deep work without a ring.",
        source: "common practice",
    }
}

fn least_margin(settings: &Settings) -> Fact {
    Fact {
        name: "Least margin to the clamp",
        default: Some(Measure::Length(settings.edge.least)),
        range: lengths(limits::GAP_MOST),
        trust: Trust::CommonPractice,
        note: "About 1 in for low parts; the outer 1/2 to 1 in of the opening heats less.",
        source: "common practice",
    }
}

fn male_height_to_width(settings: &Settings) -> Fact {
    Fact {
        name: "Height to width, male",
        default: Some(Measure::Ratio(settings.male_height_to_width)),
        range: ratios(limits::HEIGHT_TO_WIDTH),
        trust: Trust::Read,
        note: "Below 1 is preferred and twice as wide as high is ideal; deeper asks for stretching the sheet first.",
        source: "ThermoPro, thermoforming design guidelines and design tips",
    }
}

fn female_height_to_width(settings: &Settings) -> Fact {
    Fact {
        name: "Depth to width, female",
        default: Some(Measure::Ratio(settings.female_height_to_width)),
        range: ratios(limits::HEIGHT_TO_WIDTH),
        trust: Trust::Read,
        note: "For vacuum alone; 0.5 is comfortable, up to 1 goes with care (from memory), and a plug goes to 2 and beyond.",
        source: "Kal Plastics, answers on the limitations of vacuum forming",
    }
}

fn draft_facts() -> [Fact; 4] {
    [
        ("Draft, male, amorphous plastics", draft::MALE_AMORPHOUS),
        ("Draft, male, PE and PP", draft::MALE_CRYSTALLINE),
        ("Draft, female, amorphous plastics", draft::FEMALE_AMORPHOUS),
        ("Draft, female, PE and PP", draft::FEMALE_CRYSTALLINE),
    ]
    .map(|(name, least)| Fact { name, default: Some(Measure::Angle(least)), ..DRAFT })
}

const DRAFT: Fact = Fact {
    name: "Draft",
    default: None,
    range: None,
    trust: Trust::Read,
    note: "Design guides ask 1.5 to 10 degrees of male molds and 0 to 5 of female ones; these are the values \
           between them that we chose. The part shrinks on to a male mold and away from a female one.",
    source: "SPE Thermoforming Division, Thermoforming 101, draft angles, Thermoforming Quarterly 25(1), 2006",
};

const GRAIN_DRAFT: Fact = Fact {
    name: "More draft for each 0.001 in of grain against the mold",
    default: Some(Measure::Angle(draft::GRAIN)),
    range: None,
    trust: Trust::CommonPractice,
    note: "The depth of the grain is seldom given with the sheet, so this is said and not computed.",
    source: "injection and thermoforming design guides agree",
};

const THIN_SHEET: Fact = Fact {
    name: "Thin sheet",
    default: None,
    range: None,
    trust: Trust::Ours,
    note: "The mean over the whole mold as a share of the gauge; corners get thinner.",
    source: "our own choice",
};

const fn ratios((least, most): (f64, f64)) -> Option<(Measure, Measure)> {
    Some((Measure::Ratio(least), Measure::Ratio(most)))
}

const fn lengths(most: Length) -> Option<(Measure, Measure)> {
    Some((Measure::Length(Length::ZERO), Measure::Length(most)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_lies_in_its_range_and_every_fact_names_its_source() {
        let facts = facts();
        let adjustable = [
            facts.clearance_factor,
            facts.least_gap,
            facts.edge_factor,
            facts.least_margin,
            facts.male_height_to_width,
            facts.female_height_to_width,
        ];
        for fact in adjustable {
            let is_inside = match (fact.default, fact.range) {
                (Some(Measure::Ratio(value)), Some((Measure::Ratio(a), Measure::Ratio(b)))) => {
                    a <= value && value <= b
                }
                (Some(Measure::Length(value)), Some((Measure::Length(a), Measure::Length(b)))) => {
                    a <= value && value <= b
                }
                _ => false,
            };
            assert!(is_inside, "{}", fact.name);
        }
        let fixed = facts.draft.into_iter().chain(facts.thin_sheet);
        let others = [facts.height_basis, facts.grain_draft];
        for fact in adjustable.into_iter().chain(fixed).chain(others) {
            assert!(!fact.source.is_empty() && !fact.note.is_empty(), "{}", fact.name);
        }
    }
}
