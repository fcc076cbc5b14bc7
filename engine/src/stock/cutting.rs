//! What is wanted of a sheet and how it is cut, in whole micrometres.

use super::StockError;
use crate::plan::{Size, limits};
use crate::units::Length;

/// A whole micrometre count of a length; what is no length is zero.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the conversion saturates, and lengths are checked before"
)]
pub(super) fn micrometres(length: Length) -> i64 {
    libm::round(length.to_mm() * 1e3) as i64
}

/// A count of micrometres as a length.
pub(super) fn length(micrometres: i64) -> Length {
    let whole = |n: i64| i32::try_from(n).map_or(f64::NAN, f64::from);
    Length::mm(whole(micrometres / 1000) + whole(micrometres % 1000) / 1e3)
}

/// A size of blank that is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Its width and depth.
    pub size: Size,
    /// Whether it may lie either way on the sheet: not where the grain or the direction of extrusion matters.
    pub may_turn: bool,
    /// How many.
    pub count: u32,
}

/// How a sheet is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cutting {
    /// What a cut takes away: nothing for knife and shears, 3 to 4 mm for a saw.
    pub kerf: Length,
    /// How far a scored line may stray; each blank is laid out larger by it.
    pub wander: Length,
    /// The narrowest strip that can be parted from the rest.
    pub least_strip: Length,
}

impl Cutting {
    /// By score and snap: no kerf, no allowance for wander, and the narrowest strip that a hand snaps.
    #[must_use]
    pub fn snapped(gauge: Length) -> Self {
        Self { kerf: Length::ZERO, wander: Length::ZERO, least_strip: super::least_strip(gauge) }
    }

    /// By saw: a kerf, and strips as narrow as may be.
    #[must_use]
    pub const fn sawn(kerf: Length) -> Self {
        Self { kerf, wander: Length::ZERO, least_strip: Length::ZERO }
    }

    /// Checks that the lengths are such as there are.
    pub(super) fn check(&self) -> Result<(), StockError> {
        let most = Length::mm(100.0);
        for (what, value) in [
            ("the kerf", self.kerf),
            ("the wander", self.wander),
            ("the least strip", self.least_strip),
        ] {
            if !(value >= Length::ZERO && value <= most) {
                return Err(StockError::Length { what, value, least: Length::ZERO, most });
            }
        }
        Ok(())
    }
}

/// Checks that a sheet or blank is one.
pub(super) fn check_size(what: &'static str, size: Size) -> Result<(), StockError> {
    let (least, most) = (limits::SHEET_LEAST, limits::SHEET_MOST);
    for value in [size.width, size.depth] {
        if !(value >= least && value <= most) {
            return Err(StockError::Length { what, value, least, most });
        }
    }
    Ok(())
}
