//! Reading lengths as people type them: `1 3/8`, `1-3/8"`, `1.375 in`, `35mm`, `3.5 cm`, `.030`, `30 mil`.

use std::fmt;

use super::{Length, decimal};

/// A unit that a length can be typed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// `mm`
    Millimetre,
    /// `cm`
    Centimetre,
    /// `m`
    Metre,
    /// `in`, `inch`, `inches`, `"`
    Inch,
    /// `ft`, `foot`, `feet`, `'`
    Foot,
    /// `mil`, `mils`, `thou`: a thousandth of an inch
    Mil,
}

impl Unit {
    /// The length of `value` such units, rounded once.
    #[must_use]
    pub const fn of(self, value: f64) -> Length {
        match self {
            Self::Millimetre => Length::mm(value),
            Self::Centimetre => Length::mm(value * 10.0),
            Self::Metre => Length::mm(value * 1000.0),
            Self::Inch => Length::inches(value),
            Self::Foot => Length::inches(value * 12.0),
            Self::Mil => Length::mm(value * 127.0 / 5000.0),
        }
    }

    /// The short name that follows a number.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::Mil => "mil",
        }
    }

    fn from_name(name: &str) -> Option<Self> {
        Some(match name {
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Self::Millimetre,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetre,
            "m" | "metre" | "metres" | "meter" | "meters" => Self::Metre,
            "in" | "in." | "inch" | "inches" | "\"" | "''" => Self::Inch,
            "ft" | "ft." | "foot" | "feet" | "'" => Self::Foot,
            "mil" | "mils" | "thou" => Self::Mil,
            _ => return None,
        })
    }
}

/// Why a text was not read as a length; `Display` says what would work.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// Nothing was typed.
    #[error("type a length, for example {}", Examples)]
    Empty,
    /// The part before the unit is no number.
    #[error("\"{text}\" is not a number; type for example {}", Examples)]
    NotANumber {
        /// What stood where the number should be.
        text: String,
    },
    /// The number is followed by a word that is no unit of length.
    #[error("\"{text}\" is not a unit of length; use mm, cm, m, in, ft or mil")]
    UnknownUnit {
        /// What stood where the unit should be.
        text: String,
    },
    /// A fraction has nothing below its line.
    #[error("a fraction cannot be divided by zero; type for example 3/8 in")]
    ZeroDenominator,
    /// The value is beyond what any plan could mean.
    #[error("{text} is too large; lengths go up to 100 m")]
    TooLarge {
        /// The text as typed.
        text: String,
    },
}

/// The examples offered in every message, in one place.
struct Examples;

impl fmt::Display for Examples {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("35 mm, 3.5 cm, 1 3/8 in, 1.375 in or 30 mil")
    }
}

/// The longest text looked at; anything longer is no length.
const MAX_TEXT: usize = 64;

/// Reads a length as a person types it; a number without a unit is taken in `bare`.
///
/// A fraction may follow a whole number after a space or a hyphen, the decimal sign may be a point or a
/// comma, and a leading minus is allowed: whether a negative length makes sense is for `apply` to say.
///
/// ```
/// use engine::units::{Length, Unit, parse_length};
/// assert_eq!(parse_length("1-3/8\"", Unit::Millimetre), Ok(Length::inches(1.375)));
/// assert_eq!(parse_length(".030", Unit::Inch), Ok(Length::inches(0.030)));
/// let wrong = parse_length("wide", Unit::Inch).unwrap_err();
/// assert_eq!(wrong.to_string(), "\"wide\" is not a number; type for example 35 mm, 3.5 cm, 1 3/8 in, 1.375 in or 30 mil");
/// ```
///
/// # Errors
/// Says which part was not understood and what would work.
pub fn parse_length(text: &str, bare: Unit) -> Result<Length, LengthError> {
    let clean = tidy(text);
    let clean = clean.trim();
    if clean.is_empty() {
        return Err(LengthError::Empty);
    }
    if clean.len() > MAX_TEXT {
        return Err(LengthError::NotANumber { text: clean.chars().take(24).collect() });
    }
    let (negative, rest) = match clean.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, clean),
    };
    let split = rest.find(|c: char| !is_number_sign(c)).unwrap_or(rest.len());
    let (number, name) = (rest[..split].trim(), rest[split..].trim());
    if number.is_empty() {
        return Err(LengthError::NotANumber { text: clean.to_owned() });
    }
    let unit = if name.is_empty() {
        bare
    } else {
        Unit::from_name(name).ok_or_else(|| LengthError::UnknownUnit { text: name.to_owned() })?
    };
    let value = read_number(number)?;
    let length = unit.of(if negative { -value } else { value });
    if length.abs() > Length::mm(100_000.0) || !length.is_finite() {
        return Err(LengthError::TooLarge { text: clean.to_owned() });
    }
    Ok(length)
}

/// Lower case, with typographic quotes, primes, dashes and fraction characters made plain.
fn tidy(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{201c}' | '\u{201d}' | '\u{2033}' => plain.push('"'),
            '\u{2018}' | '\u{2019}' | '\u{2032}' => plain.push('\''),
            '\u{2013}' | '\u{2212}' | '\u{2010}' | '\u{2011}' => plain.push('-'),
            '\u{2044}' => plain.push('/'),
            '\u{a0}' | '\u{202f}' | '\t' => plain.push(' '),
            '\u{bd}' => plain.push_str(" 1/2"),
            '\u{bc}' => plain.push_str(" 1/4"),
            '\u{be}' => plain.push_str(" 3/4"),
            '\u{215b}' => plain.push_str(" 1/8"),
            '\u{215c}' => plain.push_str(" 3/8"),
            '\u{215d}' => plain.push_str(" 5/8"),
            '\u{215e}' => plain.push_str(" 7/8"),
            _ => plain.extend(c.to_lowercase()),
        }
    }
    plain
}

const fn is_number_sign(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ' | '-')
}

/// `2`, `1.5`, `.03`, `3/8`, `1 3/8` or `1-3/8`.
fn read_number(text: &str) -> Result<f64, LengthError> {
    let Some((before, bottom)) = text.split_once('/') else {
        return read_decimal(text);
    };
    let before = before.trim();
    let (whole, top) = match before.rsplit_once([' ', '-']) {
        Some((whole, top)) => (read_whole(whole.trim().trim_end_matches('-').trim())?, top),
        None => (0.0, before),
    };
    let (top, bottom) = (read_whole(top.trim())?, read_whole(bottom.trim())?);
    if bottom <= 0.0 {
        return Err(LengthError::ZeroDenominator);
    }
    Ok(whole + top / bottom)
}

fn read_whole(text: &str) -> Result<f64, LengthError> {
    if text.is_empty() || !text.bytes().all(|b| b.is_ascii_digit()) {
        return Err(LengthError::NotANumber { text: text.to_owned() });
    }
    read_decimal(text)
}

fn read_decimal(text: &str) -> Result<f64, LengthError> {
    let wrong = || LengthError::NotANumber { text: text.to_owned() };
    if text.starts_with(['-', '+']) {
        return Err(wrong());
    }
    decimal::read_decimal(&text.replace(',', ".")).ok_or_else(wrong)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, bare: Unit, mm: f64) {
        let got = parse_length(text, bare).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!((got.to_mm() - mm).abs() < 1e-9, "{text}: {got:?}, wanted {mm} mm");
    }

    #[test]
    fn what_people_type_is_read() {
        check("1 3/8", Unit::Inch, 34.925);
        check("1-3/8\"", Unit::Millimetre, 34.925);
        check("1.375 in", Unit::Millimetre, 34.925);
        check("35mm", Unit::Inch, 35.0);
        check("3.5 cm", Unit::Inch, 35.0);
        check(".030", Unit::Inch, 0.762);
        check("30 mil", Unit::Millimetre, 0.762);
        check("4 ft", Unit::Millimetre, 1219.2);
        check("8'", Unit::Millimetre, 2438.4);
        check("12,5", Unit::Millimetre, 12.5);
        check("5/16", Unit::Inch, 7.9375);
        check("1 \u{bd} in", Unit::Millimetre, 38.1);
        check("1\u{be}\u{201d}", Unit::Millimetre, 44.45);
        check("-2 mm", Unit::Inch, -2.0);
        check("1 - 3/8 in", Unit::Millimetre, 34.925);
        check("12 IN", Unit::Millimetre, 304.8);
    }

    #[test]
    fn wrong_text_says_what_would_work() {
        for text in
            ["", " ", "wide", "1..2", "1/", "/8", "1/2/3", "1 2 3", "in", "--3", "1.5/2", "3-", "."]
        {
            let error = parse_length(text, Unit::Inch).expect_err(text);
            assert!(error.to_string().contains("3/8 in"), "{text:?}: {error}");
        }
        let error = parse_length("3 furlongs", Unit::Inch).expect_err("no such unit");
        assert_eq!(
            error.to_string(),
            "\"furlongs\" is not a unit of length; use mm, cm, m, in, ft or mil"
        );
        assert_eq!(parse_length("1/0", Unit::Inch), Err(LengthError::ZeroDenominator));
        assert!(matches!(parse_length("9999999 m", Unit::Inch), Err(LengthError::TooLarge { .. })));
        assert!(parse_length(&"9".repeat(5000), Unit::Inch).is_err());
    }
}
