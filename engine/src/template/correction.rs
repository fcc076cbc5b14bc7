//! What a printer does to lengths, found by measuring a printed bar both ways, and undone on later prints.

use super::{Page, TemplateError};
use crate::drawing::{Form, Mark};
use crate::geometry::{Point, Rect, Vec2};
use crate::units::Length;

/// How long the bars are that are measured.
pub const CORRECTION_BAR: Length = Length::mm(100.0);
/// By which factors lengths are corrected; a printer that is farther off scales, and is not to be corrected but stopped
/// (common practice: drives and drying paper make up to one part in a hundred).
const FACTOR: (f64, f64) = (0.97, 1.03);
/// Characters of a printer's name that are kept.
const NAME_CHARS: usize = 40;

/// What a length is printed with, so that it measures what it should, across the paper and along it.
///
/// Across is the paper's short side, as a sheet goes through a printer the same way however a page lies on it; on one
/// large sheet it is left to right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correction {
    across: f64,
    along: f64,
}

impl Correction {
    /// The correction that follows from what the [`CORRECTION_BAR`]s of an uncorrected print measure, the one along the
    /// paper's short side first.
    ///
    /// # Errors
    /// Names the bar, what it measures and what is accepted, when a factor is outside 0.97 to 1.03.
    pub fn measured(across: Length, along: Length) -> Result<Self, TemplateError> {
        let factor = |bar, measured: Length| {
            let factor = CORRECTION_BAR.to_mm() / measured.to_mm();
            if (FACTOR.0..=FACTOR.1).contains(&factor) {
                return Ok(factor);
            }
            let [most, least] = [FACTOR.0, FACTOR.1].map(|factor| CORRECTION_BAR / factor);
            Err(TemplateError::BarOutside { bar, measured, printed: CORRECTION_BAR, least, most })
        };
        Ok(Self {
            across: factor("across the paper", across)?,
            along: factor("along the paper", along)?,
        })
    }

    /// The factors of a page, left to right and bottom to top; one that `lies` goes through the printer turned.
    pub(super) const fn on(self, lies: bool) -> Factors {
        if lies {
            Factors { x: self.along, y: self.across }
        } else {
            Factors { x: self.across, y: self.along }
        }
    }
}

/// A printer whose scale is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    name: String,
    correction: Correction,
}

impl Printer {
    /// A printer by the name its owner gave it; control characters and what is beyond forty characters are left out.
    #[must_use]
    pub fn new(name: &str, correction: Correction) -> Self {
        let name = name.chars().filter(|c| !c.is_control()).take(NAME_CHARS);
        Self { name: name.collect::<String>().trim().to_owned(), correction }
    }

    /// Its correction.
    pub(super) const fn correction(&self) -> Correction {
        self.correction
    }

    /// What a page says of it: its name, and `x 1.0040, y 0.9990`.
    pub(super) fn words(&self, factors: Factors) -> [String; 2] {
        let name = if self.name.is_empty() { "this printer" } else { &self.name };
        [name.to_owned(), format!("x {:.4}, y {:.4}", factors.x, factors.y)]
    }
}

/// What lengths of one page are multiplied with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Factors {
    pub(super) x: f64,
    pub(super) y: f64,
}

impl Factors {
    /// Nothing is changed.
    pub(super) const NONE: Self = Self { x: 1.0, y: 1.0 };

    /// How large paper of a size in the file comes out.
    pub(super) fn printed(self, page: Vec2) -> Vec2 {
        Vec2::new(page.x / self.x, page.y / self.y)
    }

    /// A page that is true on paper as it has to stand in the file. Lettering keeps its shape and follows the width.
    pub(super) fn corrected(self, page: Page) -> Page {
        if self == Self::NONE {
            return page;
        }
        let place = |p: Point| Point::new(p.x * self.x, p.y * self.y);
        let rect = |rect: Rect| Rect::new(place(rect.min), place(rect.max));
        let mark = |mark: Mark| {
            let form = match mark.form.mapped(place) {
                Form::Text { at, size, anchor, text } => {
                    Form::Text { at, size: size * self.x, anchor, text }
                }
                form @ (Form::Region(_) | Form::Line(..) | Form::Polyline(_)) => form,
            };
            Mark { form, ..mark }
        };
        let mut page = page;
        for layer in &mut page.layers {
            layer.window = layer.window.map(rect);
            layer.marks = std::mem::take(&mut layer.marks).into_iter().map(mark).collect();
        }
        Page { width: page.width * self.x, height: page.height * self.y, ..page }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_that_is_far_off_is_refused_with_what_to_do() {
        let mm = Length::mm;
        let error = Correction::measured(mm(100.0), mm(94.2)).expect_err("a page that was fitted");
        assert_eq!(
            error.to_string(),
            "the bar along the paper measures 94.2 mm where 100.0 mm was printed, outside 97.1 mm to 103.1 mm \
             that is corrected; print at 100 % (actual size) and measure again"
        );
        for wrong in [0.0, -100.0, f64::NAN, f64::INFINITY, 97.0, 103.2] {
            assert!(Correction::measured(mm(wrong), mm(100.0)).is_err(), "{wrong}");
        }
        assert!(Correction::measured(mm(97.1), mm(103.0)).is_ok());
    }

    #[test]
    fn a_page_that_lies_goes_through_the_printer_turned() {
        let correction = Correction::measured(Length::mm(99.0), Length::mm(101.0)).expect("near");
        let upright = correction.on(false);
        let lying = correction.on(true);
        assert_eq!((upright.x, upright.y), (lying.y, lying.x));
        assert!(upright.x > 1.0 && upright.y < 1.0);
    }

    #[test]
    fn a_name_is_kept_in_one_line_of_forty_characters() {
        let correction = Correction::measured(CORRECTION_BAR, CORRECTION_BAR).expect("true");
        let printer = Printer::new(" Shed\n\u{1b}\u{0} printer ", correction);
        assert_eq!(printer.words(Factors::NONE), ["Shed printer", "x 1.0000, y 1.0000"]);
        assert_eq!(Printer::new(&"W".repeat(99), correction).name.len(), NAME_CHARS);
        let nameless = Printer::new("\n", correction);
        assert_eq!(nameless.words(Factors::NONE)[0], "this printer");
    }
}
