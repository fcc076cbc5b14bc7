//! How wide a line of lettering is, so that words can be kept inside a mold or a column.
//!
//! All lettering is Helvetica, one of the fourteen fonts that every PDF viewer supplies, in the `WinAnsi` set of
//! characters. **Source** of the widths and of the height of a capital: Adobe, Core 14 AFM files, Helvetica
//! (from memory; held against the widths of an independent reader in the tests).

use super::Anchor;
use crate::geometry::{Point, Rect};
use crate::units::Length;

/// The height of a capital letter over the size of the font (Adobe Core 14 AFM, Helvetica, `CapHeight` 718).
const CAPITAL: f64 = 0.718;
/// How far a letter may reach below its baseline, over the size of the font (same, `Descender` -207).
const BELOW: f64 = 0.207;

/// The size to ask a font for, so that its capitals are `size` high.
#[must_use]
pub fn font_size(size: Length) -> Length {
    size / CAPITAL
}

/// How wide `text` is in Helvetica with capitals `size` high; a character outside `WinAnsi` counts as `?`.
#[must_use]
pub fn width(text: &str, size: Length) -> Length {
    let thousandths: u32 = text.chars().map(|c| u32::from(char_width(c))).sum();
    font_size(size) * (f64::from(thousandths) / 1000.0)
}

/// The rectangle that a line of lettering covers, capitals and descenders included.
#[must_use]
pub fn bounds(at: Point, size: Length, anchor: Anchor, text: &str) -> Rect {
    let wide = width(text, size);
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - wide.to_mm() / 2.0,
        Anchor::End => at.x - wide.to_mm(),
    };
    let below = font_size(size) * BELOW;
    Rect::sized(Point::new(left, at.y - below.to_mm()), wide, size + below)
}

/// `text` broken between words into lines no wider than `width_limit`; a longer word has a line of its own, and a space
/// that must not break (U+00A0) does not.
#[must_use]
pub fn wrapped(text: &str, size: Length, width_limit: Length) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split([' ', '\t', '\n', '\r']).filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size) <= width_limit => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// `text`, or as much of it as fits into `width_limit` with an ellipsis behind.
#[must_use]
pub fn shortened(text: &str, size: Length, width_limit: Length) -> String {
    if width(text, size) <= width_limit {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let short = format!("{}\u{2026}", kept.trim_end());
        if width(&short, size) <= width_limit {
            return short;
        }
    }
    String::new()
}

/// The code of a character in `WinAnsi`, the Windows code page 1252 of PDF (ISO 32000-1, annex D.2).
#[must_use]
pub fn win_ansi(c: char) -> Option<u8> {
    let code = u32::from(c);
    match code {
        0x20..=0x7e | 0xa0..=0xff => u8::try_from(code).ok(),
        _ => UPPER_CONTROLS.iter().find(|(other, ..)| *other == c).map(|&(_, code, _)| code),
    }
}

fn char_width(c: char) -> u16 {
    let code = u32::from(c);
    let entry = |table: &[u16], first: u32| {
        usize::try_from(code - first).ok().and_then(|i| table.get(i).copied())
    };
    match code {
        0x20..=0x7e => entry(&ASCII, 0x20),
        0xa0..=0xff => entry(&LATIN_1, 0xa0),
        _ => UPPER_CONTROLS.iter().find(|(other, ..)| *other == c).map(|&(.., width)| width),
    }
    .unwrap_or(QUESTION_MARK)
}

const QUESTION_MARK: u16 = 556;

/// Widths of U+0020 to U+007E in thousandths of the font's size.
#[rustfmt::skip]
const ASCII: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, // space to /
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, // 0 to ?
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, // @ to O
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, // P to _
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, // ` to o
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,      // p to ~
];

/// Widths of U+00A0 to U+00FF.
#[rustfmt::skip]
const LATIN_1: [u16; 96] = [
    278, 333, 556, 556, 556, 556, 260, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 556, 537, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 500, 556, 556, 556, 556, 278, 278, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 584, 611, 556, 556, 556, 556, 500, 556, 500,
];

/// The characters that `WinAnsi` puts where Latin-1 has control codes: character, code, width.
const UPPER_CONTROLS: [(char, u8, u16); 27] = [
    ('\u{20ac}', 0x80, 556),
    ('\u{201a}', 0x82, 222),
    ('\u{0192}', 0x83, 556),
    ('\u{201e}', 0x84, 333),
    ('\u{2026}', 0x85, 1000),
    ('\u{2020}', 0x86, 556),
    ('\u{2021}', 0x87, 556),
    ('\u{02c6}', 0x88, 333),
    ('\u{2030}', 0x89, 1000),
    ('\u{0160}', 0x8a, 667),
    ('\u{2039}', 0x8b, 333),
    ('\u{0152}', 0x8c, 1000),
    ('\u{017d}', 0x8e, 611),
    ('\u{2018}', 0x91, 222),
    ('\u{2019}', 0x92, 222),
    ('\u{201c}', 0x93, 333),
    ('\u{201d}', 0x94, 333),
    ('\u{2022}', 0x95, 350),
    ('\u{2013}', 0x96, 556),
    ('\u{2014}', 0x97, 1000),
    ('\u{02dc}', 0x98, 333),
    ('\u{2122}', 0x99, 1000),
    ('\u{0161}', 0x9a, 500),
    ('\u{203a}', 0x9b, 333),
    ('\u{0153}', 0x9c, 944),
    ('\u{017e}', 0x9e, 500),
    ('\u{0178}', 0x9f, 667),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_known_letters_has_the_width_of_the_afm() {
        // H 722, e 556, l 222, l 222, o 556 (Adobe Core 14 AFM, Helvetica).
        let got = width("Hello", Length::mm(CAPITAL * 10.0));
        assert!((got.to_mm() - 22.78).abs() < 1e-9, "{got:?}");
    }

    #[test]
    fn lines_break_between_words_and_never_lose_one() {
        let text = "print at 100 %, check the bar";
        let lines = wrapped(text, Length::mm(3.5), Length::mm(40.0));
        assert_eq!(lines.join(" "), text);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| width(line, Length::mm(3.5)) <= Length::mm(40.0)));
    }

    #[test]
    fn a_shortened_line_fits_and_says_that_it_was_shortened() {
        let size = Length::mm(2.5);
        let short = shortened("Anemone base with a very long name", size, Length::mm(30.0));
        assert!(short.ends_with('\u{2026}'), "{short}");
        assert!(width(&short, size) <= Length::mm(30.0));
        assert_eq!(shortened("Limpet", size, Length::mm(30.0)), "Limpet");
    }

    #[test]
    fn every_win_ansi_code_is_reached_by_one_character() {
        let mut codes: Vec<u8> =
            (0..=0x2122_u32).filter_map(char::from_u32).filter_map(win_ansi).collect();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), 95 + 96 + 27);
    }
}
