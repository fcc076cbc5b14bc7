//! How lengths are printed: decimal inches, fractions to 1/64 in, or millimetres.

use super::{Length, Unit};

/// The user's choice of how lengths are shown, and which unit a bare number is taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum LengthStyle {
    /// `35.0 mm`.
    #[default]
    Millimetres,
    /// `1.375 in`.
    DecimalInches,
    /// `1 3/8 in`, to the nearest 1/64.
    FractionInches,
}

impl LengthStyle {
    /// All styles, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Millimetres, Self::DecimalInches, Self::FractionInches];

    /// The unit of a number typed without one.
    #[must_use]
    pub const fn unit(self) -> Unit {
        match self {
            Self::Millimetres => Unit::Millimetre,
            Self::DecimalInches | Self::FractionInches => Unit::Inch,
        }
    }

    /// The length with its unit, to 0.1 mm, 0.001 in or 1/64 in.
    ///
    /// ```
    /// use engine::units::{Length, LengthStyle};
    /// let lip = Length::inches(1.375);
    /// assert_eq!(LengthStyle::Millimetres.show(lip), "34.9 mm");
    /// assert_eq!(LengthStyle::DecimalInches.show(lip), "1.375 in");
    /// assert_eq!(LengthStyle::FractionInches.show(lip), "1 3/8 in");
    /// ```
    #[must_use]
    pub fn show(self, length: Length) -> String {
        match self {
            Self::Millimetres => format!("{} mm", fixed(length.to_mm(), 1)),
            Self::DecimalInches => format!("{} in", fixed(length.to_inches(), 3)),
            Self::FractionInches => format!("{} in", fraction(length.to_inches())),
        }
    }

    /// The length to edit again: as [`Self::show`], with as many digits as the value needs and no loss.
    ///
    /// A value that is not a whole 64th is shown in decimal inches, so that opening a field and leaving it
    /// changes nothing by more than a micrometre.
    #[must_use]
    pub fn show_exact(self, length: Length) -> String {
        match self {
            Self::Millimetres => format!("{} mm", trimmed(length.to_mm(), 3)),
            Self::DecimalInches => format!("{} in", trimmed(length.to_inches(), 5)),
            Self::FractionInches => {
                let sixty_fourths = length.to_inches() * 64.0;
                let is_whole = (sixty_fourths - libm::round(sixty_fourths)).abs() < 64e-5;
                if is_whole { self.show(length) } else { Self::DecimalInches.show_exact(length) }
            }
        }
    }

    /// A sheet gauge: `.030 in (0.76 mm)` or `0.76 mm`.
    #[must_use]
    pub fn show_gauge(self, gauge: Length) -> String {
        let mm = format!("{} mm", fixed(gauge.to_mm(), 2));
        match self {
            Self::Millimetres => mm,
            Self::DecimalInches | Self::FractionInches => {
                format!("{} in ({mm})", fixed(gauge.to_inches(), 3).trim_start_matches('0'))
            }
        }
    }
}

/// `value` with `digits` decimals, never as minus zero.
fn fixed(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_owned(),
        _ => text,
    }
}

/// `value` with at most `digits` decimals and no trailing zeros.
fn trimmed(value: f64, digits: usize) -> String {
    let text = fixed(value, digits);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `1 3/8` from inches, to the nearest 1/64 in lowest terms.
fn fraction(inches: f64) -> String {
    let total = libm::round(inches.abs() * 64.0);
    if total > 1e15 || !total.is_finite() {
        return fixed(inches, 3);
    }
    let sign = if inches < 0.0 && total > 0.0 { "-" } else { "" };
    let whole = libm::floor(total / 64.0);
    let (mut top, mut bottom) = (total - whole * 64.0, 64.0);
    while top > 0.0 && libm::fmod(top, 2.0) < 0.5 {
        top /= 2.0;
        bottom /= 2.0;
    }
    match (whole > 0.0, top > 0.0) {
        (_, false) => format!("{sign}{whole}"),
        (false, true) => format!("{sign}{top}/{bottom}"),
        (true, true) => format!("{sign}{whole} {top}/{bottom}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_in_lowest_terms() {
        for (inches, text) in [
            (0.0, "0"),
            (0.5, "1/2"),
            (1.375, "1 3/8"),
            (15.25, "15 1/4"),
            (-0.75, "-3/4"),
            (0.001, "0"),
            (-0.001, "0"),
            (0.999, "1"),
            (2.015_625, "2 1/64"),
        ] {
            assert_eq!(fraction(inches), text, "{inches} in");
        }
    }

    #[test]
    fn what_is_shown_exactly_reads_back_within_a_micrometre() {
        for style in LengthStyle::ALL {
            for mm in [0.0, 0.762, 1.0, 12.345, 304.8, 1219.2, 34.925, 0.396_875] {
                let text = style.show_exact(Length::mm(mm));
                let back = super::super::parse_length(&text, style.unit()).expect("own text reads");
                assert!((back.to_mm() - mm).abs() < 1e-3, "{style:?} {mm}: {text} -> {back:?}");
            }
        }
    }

    #[test]
    fn a_gauge_reads_as_the_trade_writes_it() {
        assert_eq!(
            LengthStyle::DecimalInches.show_gauge(Length::inches(0.030)),
            ".030 in (0.76 mm)"
        );
        assert_eq!(LengthStyle::Millimetres.show_gauge(Length::inches(0.060)), "1.52 mm");
    }

    #[test]
    fn minus_zero_is_zero() {
        assert_eq!(LengthStyle::Millimetres.show(Length::mm(-0.01)), "0.0 mm");
    }
}
