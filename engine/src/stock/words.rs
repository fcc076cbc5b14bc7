//! Cuts in words, as they stand in the page and on the cut list.

use super::{Axis, Pattern, PlannedCut, Step};
use crate::geometry::Rect;
use crate::plan::{CutBy, Size};
use crate::units::LengthStyle;

/// `12 x 16 in`: the unit once.
#[must_use]
pub fn size_words(size: Size, style: LengthStyle) -> String {
    format!("{} x {}", bare(&style.show(size.width)), whole(&style.show(size.depth)))
}

/// "From the left edge mark 12, 24 and 36 in. Score and snap each, 96 in long."
#[must_use]
pub fn step_words(step: &Step, by: CutBy, style: LengthStyle) -> String {
    let size = |piece: &Rect| size_words(Size::new(piece.width(), piece.depth()), style);
    let piece = match (step.number, step.pieces.as_slice()) {
        (1, _) | (_, []) => "From".to_owned(),
        (_, [one]) => format!("Piece of {}: from", size(one)),
        (_, [one, ..]) => {
            format!("Each of the {} pieces of {}: from", step.pieces.len(), size(one))
        }
    };
    let edge = match step.axis {
        Axis::FrontToBack => "left",
        Axis::LeftToRight => "front",
    };
    let marks: Vec<String> = step.marks.iter().map(|&mark| style.show(mark)).collect();
    let marks = match marks.as_slice() {
        [] => String::new(),
        [one] => whole(one),
        [most @ .., last] => {
            let most: Vec<String> = most.iter().map(|mark| bare(mark)).collect();
            format!("{} and {}", most.join(", "), whole(last))
        }
    };
    let each = if step.marks.len() > 1 { " each" } else { "" };
    let cut = match by {
        CutBy::Snap => format!("Score and snap{each}"),
        CutBy::Saw => {
            format!("Saw on the far side of {}", if each.is_empty() { "it" } else { "each" })
        }
    };
    let length = whole(&style.show(step.length));
    format!("{piece} the {edge} edge mark {marks}. {cut}, {length} long.")
}

/// What a size is called where there are several: A, B and so on.
#[must_use]
pub fn size_letter(size: usize) -> char {
    u8::try_from(size).ok().filter(|n| *n < 26).map_or('?', |n| char::from(b'A' + n))
}

/// "24 blanks of 12 x 16 in out of 1 sheet, 100 % used." Several sizes have their letters: "A: 24 of 12 x 16 in, B: ...".
#[must_use]
pub fn summary(cut: &PlannedCut, style: LengthStyle) -> String {
    let counted = |n: u32, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    let blanks = if cut.further.is_empty() {
        let size = size_words(cut.wanted.size, style);
        format!("{} of {size}", counted(cut.wanted.count, "blank"))
    } else {
        let all = cut.sizes().enumerate().map(|(n, one)| {
            let size = size_words(one.size, style);
            format!("{}: {} of {size}", size_letter(n), counted(one.count, "blank"))
        });
        all.collect::<Vec<_>>().join(", ")
    };
    let offcuts = u32::try_from(cut.sheets.offcuts.len()).unwrap_or(u32::MAX);
    let sheets = counted(cut.sheets.n_sheets, "whole sheet");
    let from = match (offcuts, cut.sheets.n_sheets) {
        (0, _) => sheets,
        (n, 0) => counted(n, "offcut"),
        (n, _) => format!("{} and {sheets}", counted(n, "offcut")),
    };
    format!("{blanks} out of {from}, {:.0} % used.", cut.share() * 100.0)
}

/// "12 A, 6 B" where a pattern gives blanks of several sizes, else "24 blanks".
#[must_use]
pub fn blanks_words(pattern: &Pattern, n_sizes: usize) -> String {
    let given = (0..n_sizes).map(|size| (size, pattern.count(size))).filter(|(_, n)| *n > 0);
    if n_sizes > 1 {
        let each = given.map(|(size, n)| format!("{n} {}", size_letter(size)));
        return each.collect::<Vec<_>>().join(", ");
    }
    let n = pattern.count(0);
    format!("{n} blank{}", if n == 1 { "" } else { "s" })
}

/// Without the unit and without a zero behind the point; a fraction stays on the line of its whole.
fn bare(shown: &str) -> String {
    let number = shown.rsplit_once(' ').map_or(shown, |(number, _)| number);
    if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        number.replace(' ', "\u{a0}")
    }
}

/// With the unit, and without a zero behind the point.
fn whole(shown: &str) -> String {
    let unit = shown.rsplit_once(' ').map_or("", |(_, unit)| unit);
    format!("{} {unit}", bare(shown))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::units::Length;

    #[test]
    fn a_step_says_the_edge_the_marks_and_what_to_do() {
        let inches = Length::inches;
        let sheet = Rect::sized(Point::ORIGIN, inches(48.0), inches(96.0));
        let mut step = Step {
            number: 1,
            pieces: vec![sheet],
            axis: Axis::FrontToBack,
            marks: vec![inches(12.0), inches(24.0), inches(36.5)],
            length: inches(96.0),
        };
        assert_eq!(
            step_words(&step, CutBy::Snap, LengthStyle::FractionInches),
            "From the left edge mark 12, 24 and 36\u{a0}1/2 in. Score and snap each, 96 in long."
        );
        step = Step { number: 2, axis: Axis::LeftToRight, marks: vec![inches(20.0)], ..step };
        assert_eq!(
            step_words(&step, CutBy::Saw, LengthStyle::Millimetres),
            "Piece of 1219.2 x 2438.4 mm: from the front edge mark 508 mm. Saw on the far side of it, 2438.4 mm long."
        );
        step.pieces = vec![sheet; 3];
        let words = step_words(&step, CutBy::Snap, LengthStyle::DecimalInches);
        assert!(words.starts_with("Each of the 3 pieces of 48 x 96 in: from the front"), "{words}");
    }
}
