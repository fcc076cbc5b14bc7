//! What each default of the page rests on: its value, a sentence why, and where it comes from.
//!
//! Values are asked of the code that uses them, so that none can go stale; the sentences are held to those values by a
//! list in the tests.

mod bench;
mod layout;

use crate::rules::{Fact, Measure, Trust};
use crate::units::{Length, Seconds};

/// A field that begins with a default, or that is left empty by default.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Given {
    /// Clearance between molds, times the height.
    ClearanceFactor,
    /// Which of two heights that is.
    HeightBasis,
    /// The least gap between molds.
    LeastGap,
    /// Margin to the clamp, times the height.
    EdgeFactor,
    /// The least margin to the clamp.
    LeastMargin,
    /// Height to width of a male mold.
    MaleHeightToWidth,
    /// Depth to width of a female mold.
    FemaleHeightToWidth,
    /// The thinnest wall that is good enough.
    LeastWall,
    /// Width of the blank.
    BlankWidth,
    /// Depth of the blank.
    BlankDepth,
    /// What the frame covers.
    ClampLip,
    /// Where the vacuum is.
    Platen,
    /// The tallest mold that the machine clears.
    Clears,
    /// The plastic.
    Plastic,
    /// Its gauge.
    Gauge,
    /// Width of the whole sheet.
    SheetWidth,
    /// Depth of the whole sheet.
    SheetDepth,
    /// What it costs.
    SheetPrice,
    /// What a mold is raised by.
    Spacer,
    /// Its walls from vertical.
    Draft,
    /// The radius of its top edge.
    EdgeRadius,
    /// The scale of a taper's top.
    TaperTop,
    /// How many of it there are.
    Copies,
    /// The plastic left round it.
    Trim,
    /// What one is worth to the arranger.
    Worth,
    /// The net of a forecast.
    Net,
    /// The friction of a sheet that slides where it lands.
    Friction,
    /// How far a sheet hangs before it is formed.
    Sag,
    /// How many kits.
    Kits,
    /// Spare parts, in percent.
    Spares,
    /// Time to load.
    Load,
    /// Time to heat.
    HeatTime,
    /// Time to draw.
    DrawTime,
    /// Time to cool.
    CoolTime,
    /// Time to unload.
    Unload,
    /// Time to change the layout.
    ChangeOver,
    /// What an hour costs.
    Labour,
    /// How many blanks to cut.
    BlanksWanted,
    /// What a saw takes.
    Kerf,
    /// How far a cut may stray.
    Wander,
    /// The narrowest strip that snaps.
    LeastStrip,
    /// What a side of the sheet takes up at least.
    FluxLeast,
    /// The same at most.
    FluxMost,
    /// How much two printed sheets both show.
    Overlap,
    /// The edge that a printer cannot reach.
    PrinterMargin,
}

impl Given {
    /// All of them, panel by panel.
    pub const ALL: [Self; 45] = [
        Self::ClearanceFactor,
        Self::HeightBasis,
        Self::LeastGap,
        Self::EdgeFactor,
        Self::LeastMargin,
        Self::MaleHeightToWidth,
        Self::FemaleHeightToWidth,
        Self::LeastWall,
        Self::BlankWidth,
        Self::BlankDepth,
        Self::ClampLip,
        Self::Platen,
        Self::Clears,
        Self::Plastic,
        Self::Gauge,
        Self::SheetWidth,
        Self::SheetDepth,
        Self::SheetPrice,
        Self::Spacer,
        Self::Draft,
        Self::EdgeRadius,
        Self::TaperTop,
        Self::Copies,
        Self::Trim,
        Self::Worth,
        Self::Net,
        Self::Friction,
        Self::Sag,
        Self::Kits,
        Self::Spares,
        Self::Load,
        Self::HeatTime,
        Self::DrawTime,
        Self::CoolTime,
        Self::Unload,
        Self::ChangeOver,
        Self::Labour,
        Self::BlanksWanted,
        Self::Kerf,
        Self::Wander,
        Self::LeastStrip,
        Self::FluxLeast,
        Self::FluxMost,
        Self::Overlap,
        Self::PrinterMargin,
    ];
}

/// The value of a default.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// A length, an angle, a plain number or a count.
    Measure(Measure),
    /// A time.
    Seconds(Seconds),
    /// Thousands of watts on a square metre.
    Kilowatts(f64),
    /// A word of a list.
    Word(&'static str),
    /// Nothing: the field is left empty.
    Empty,
    /// Whatever something else of the plan is.
    Follows,
}

impl Amount {
    const fn length(length: Length) -> Self {
        Self::Measure(Measure::Length(length))
    }

    const fn count(count: u32) -> Self {
        Self::Measure(Measure::Count(count))
    }
}

/// What a default rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reason {
    /// Its value.
    pub amount: Amount,
    /// What it can be set to, where that says something.
    pub range: Option<(Measure, Measure)>,
    /// Why it is that, in whole sentences.
    pub why: &'static str,
    /// How far it can be trusted.
    pub trust: Trust,
    /// Where it comes from, when the trust does not say all.
    pub source: &'static str,
}

impl Reason {
    const fn practice(amount: Amount, why: &'static str) -> Self {
        Self { amount, range: None, why, trust: Trust::CommonPractice, source: "common practice" }
    }

    const fn ours(amount: Amount, why: &'static str) -> Self {
        Self { amount, range: None, why, trust: Trust::Ours, source: "our own choice" }
    }

    const fn from_fact(fact: Fact, amount: Amount) -> Self {
        Self { amount, range: fact.range, why: fact.note, trust: fact.trust, source: fact.source }
    }
}

/// What the default of a field rests on.
///
/// ```
/// use engine::defaults::{Amount, Given, reason};
/// use engine::rules::{Measure, Trust};
/// let factor = reason(Given::ClearanceFactor);
/// assert_eq!(factor.amount, Amount::Measure(Measure::Ratio(1.75)));
/// assert_eq!(factor.trust, Trust::Memory);
/// ```
#[must_use]
pub fn reason(given: Given) -> Reason {
    layout::reason(given)
        .or_else(|| bench::reason(given))
        .unwrap_or(Reason::ours(Amount::Empty, "Nothing is known of it."))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// The values that the sentences were written for. Where code comes to have another default, this fails: read the
    /// sentence again before the new value goes in here.
    const WRITTEN_FOR: [(Given, &str); 45] = [
        (Given::ClearanceFactor, "1.75"),
        (Given::HeightBasis, "The taller of the two"),
        (Given::LeastGap, "12 mm"),
        (Given::EdgeFactor, "1"),
        (Given::LeastMargin, "25 mm"),
        (Given::MaleHeightToWidth, "1"),
        (Given::FemaleHeightToWidth, "0.75"),
        (Given::LeastWall, "empty"),
        (Given::BlankWidth, "406.4 mm"),
        (Given::BlankDepth, "304.8 mm"),
        (Given::ClampLip, "15 mm"),
        (Given::Platen, "follows"),
        (Given::Clears, "150 mm"),
        (Given::Plastic, "HIPS"),
        (Given::Gauge, "1.524 mm"),
        (Given::SheetWidth, "1219.2 mm"),
        (Given::SheetDepth, "2438.4 mm"),
        (Given::SheetPrice, "empty"),
        (Given::Spacer, "0 mm"),
        (Given::Draft, "3 degrees"),
        (Given::EdgeRadius, "0 mm"),
        (Given::TaperTop, "0.5"),
        (Given::Copies, "1"),
        (Given::Trim, "3 mm"),
        (Given::Worth, "1"),
        (Given::Net, "Usual (3 mm)"),
        (Given::Friction, "0.3"),
        (Given::Sag, "0 mm"),
        (Given::Kits, "1"),
        (Given::Spares, "0"),
        (Given::Load, "60 s"),
        (Given::HeatTime, "empty"),
        (Given::DrawTime, "15 s"),
        (Given::CoolTime, "empty"),
        (Given::Unload, "60 s"),
        (Given::ChangeOver, "300 s"),
        (Given::Labour, "empty"),
        (Given::BlanksWanted, "empty"),
        (Given::Kerf, "3.175 mm"),
        (Given::Wander, "0 mm"),
        (Given::LeastStrip, "empty"),
        (Given::FluxLeast, "5 kW"),
        (Given::FluxMost, "10 kW"),
        (Given::Overlap, "10 mm"),
        (Given::PrinterMargin, "10 mm"),
    ];

    fn shown(amount: Amount) -> String {
        let round = |x: f64| libm::round(x * 1e6) / 1e6;
        match amount {
            Amount::Measure(Measure::Length(length)) => format!("{} mm", round(length.to_mm())),
            Amount::Measure(Measure::Angle(angle)) => {
                format!("{} degrees", round(angle.to_degrees()))
            }
            Amount::Measure(Measure::Ratio(ratio)) => ratio.to_string(),
            Amount::Measure(Measure::Count(count)) => count.to_string(),
            Amount::Seconds(time) => format!("{} s", time.get()),
            Amount::Kilowatts(flux) => format!("{} kW", round(flux)),
            Amount::Word(word) => word.to_owned(),
            Amount::Empty => "empty".to_owned(),
            Amount::Follows => "follows".to_owned(),
        }
    }

    #[test]
    fn every_default_is_what_its_sentence_was_written_for() {
        let told: Vec<(Given, String)> =
            Given::ALL.into_iter().map(|given| (given, shown(reason(given).amount))).collect();
        let written: Vec<(Given, String)> =
            WRITTEN_FOR.into_iter().map(|(given, words)| (given, words.to_owned())).collect();
        assert_eq!(told, written);
        assert_eq!(Given::ALL.into_iter().collect::<BTreeSet<_>>().len(), Given::ALL.len());
    }

    #[test]
    fn no_default_is_without_a_sentence_and_a_source() {
        for given in Given::ALL {
            let one_room = [layout::reason(given), bench::reason(given)];
            assert_eq!(one_room.iter().flatten().count(), 1, "{given:?} is told in one file");
            let Reason { why, trust, source, .. } = reason(given);
            assert!(
                why.len() > 25 && why.ends_with('.') && !why.contains("  "),
                "{given:?}: {why}"
            );
            assert!(!source.is_empty() && !source.ends_with('.'), "{given:?}: {source}");
            let is_marked = match trust {
                Trust::CommonPractice | Trust::Ours => source.contains(trust.words()),
                Trust::Read | Trust::Derived | Trust::Memory => source.len() > 12,
            };
            assert!(is_marked, "{given:?}: {source}");
        }
    }
}
