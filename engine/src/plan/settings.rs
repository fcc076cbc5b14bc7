//! The rules in force and how lengths are shown.

use crate::units::{Length, LengthStyle};

/// Which height the clearance between two molds is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeightBasis {
    /// The taller of the two (common practice).
    Taller,
    /// The mean of the two.
    Mean,
}

/// The least free distance between two molds: the largest of a least gap, both trim allowances together, and
/// a factor times the height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearanceRule {
    /// Times the height; 0.5 to 3.
    pub factor: f64,
    /// Which height.
    pub basis: HeightBasis,
    /// The least gap whatever the heights.
    pub least: Length,
}

impl ClearanceRule {
    /// The clearance two molds need, from their standing heights and trim allowances.
    ///
    /// ```
    /// use engine::plan::{ClearanceRule, HeightBasis};
    /// use engine::units::Length;
    /// let rule = ClearanceRule { factor: 1.75, basis: HeightBasis::Taller, least: Length::mm(12.0) };
    /// let no_trim = [Length::ZERO; 2];
    /// assert_eq!(rule.between([Length::mm(40.0), Length::mm(10.0)], no_trim), Length::mm(70.0));
    /// assert_eq!(rule.between([Length::mm(4.0), Length::mm(2.0)], no_trim), Length::mm(12.0));
    /// ```
    #[must_use]
    pub fn between(&self, heights: [Length; 2], trims: [Length; 2]) -> Length {
        let height = match self.basis {
            HeightBasis::Taller => heights[0].max(heights[1]),
            HeightBasis::Mean => (heights[0] + heights[1]) / 2.0,
        };
        self.least.max(trims[0] + trims[1]).max(height * self.factor)
    }
}

/// The least free distance from a mold to the edge of the opening: a least margin, or a factor times its
/// height, or its trim allowance, whichever is the largest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeRule {
    /// Times the height; 0 to 3.
    pub factor: f64,
    /// The least margin whatever the height.
    pub least: Length,
}

impl EdgeRule {
    /// The margin a mold needs, from its standing height and trim allowance.
    #[must_use]
    pub fn margin(&self, height: Length, trim: Length) -> Length {
        self.least.max(trim).max(height * self.factor)
    }
}

/// The rules in force and how lengths are shown.
///
/// The defaults are the trade's: 1.75 x the taller mold between molds (from memory: repeated in older sheet
/// suppliers' guides, other voices say 1 to 3), 25 mm or 1.0 x the height to the clamp (common practice),
/// height to width 1.0 for male and 0.75 for female molds (ThermoPro, thermoforming design guidelines; Kal
/// Plastics, answers on the limitations of vacuum forming).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Between molds.
    pub clearance: ClearanceRule,
    /// Between a mold and the edge of the opening.
    pub edge: EdgeRule,
    /// The largest height over width of a male mold.
    pub male_height_to_width: f64,
    /// The largest depth over width of a female mold.
    pub female_height_to_width: f64,
    /// The thinnest wall that is good enough anywhere on a mold, if the maker wants one. None by default: what a part must
    /// bear is known to nobody but its maker, and published figures run from 0.1 mm for a blister to 2 mm for a housing
    /// (common practice).
    pub least_wall: Option<Length>,
    /// How lengths are shown.
    pub lengths: LengthStyle,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            clearance: ClearanceRule {
                factor: 1.75,
                basis: HeightBasis::Taller,
                least: Length::mm(12.0),
            },
            edge: EdgeRule { factor: 1.0, least: Length::mm(25.0) },
            male_height_to_width: 1.0,
            female_height_to_width: 0.75,
            least_wall: None,
            lengths: LengthStyle::default(),
        }
    }
}
