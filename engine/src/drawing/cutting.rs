//! A sheet cut up: its blanks numbered, what is left over named, and each cut with its step and its mark.

use super::{Anchor, Drawing, Form, Mark, Role, lettering};
use crate::geometry::{Point, Rect, Vec2};
use crate::plan::Size;
use crate::stock::{Axis, Pattern, Step, size_letter, size_words, steps};
use crate::units::{Length, LengthStyle};

/// Parts that are drawn of one sheet; more would be a grey field.
const MOST: usize = 2000;

/// One pattern as marks in millimetres on the sheet, from its front left corner, with capitals `capitals` high.
///
/// Numbers of cuts are those of [`steps`]. The marks of the first step are measured along the sheet's edge, those of a
/// later one in the first of its pieces. Offcuts are lettered in the order that they come free.
#[must_use]
pub fn draw_cutting(pattern: &Pattern, style: LengthStyle, capitals: Length) -> Drawing {
    let sheet = pattern.sheet.rect();
    let pen = Pen { style, capitals, unit: capitals.to_mm() };
    let mut marks = vec![Mark::new(Role::Sheet, Form::rect(sheet))];
    marks.extend(pen.parts(pattern));
    for step in &steps(pattern) {
        for (n, piece) in step.pieces.iter().enumerate().take(MOST) {
            let lines: Vec<Cut> = step.marks.iter().map(|&at| Cut::new(step, *piece, at)).collect();
            for cut in &lines {
                marks.push(Mark::new(Role::Score, Form::Line(cut.from, cut.to)));
                marks.extend(pen.number(step, cut));
            }
            if n == 0 && step.number == 1 {
                marks.extend(pen.outside(step, *piece, &lines));
            } else if n == 0 {
                marks.extend(lines.iter().filter_map(|cut| pen.inside(step, cut)));
            }
        }
    }
    let bounds = marks.iter().filter_map(|mark| mark.form.bounds()).fold(sheet, Rect::union);
    Drawing { bounds: bounds.grown(capitals * 0.4), marks }
}

/// The name of an offcut by its number: `A` to `Z`, then `A2` and so on.
#[must_use]
pub fn offcut_name(number: usize) -> String {
    let letter = u8::try_from(number % 26).map_or('A', |n| char::from(b'A' + n));
    match number / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

/// A cut where it lies on the sheet, from the edge that is nearest to the person or furthest left.
struct Cut {
    from: Point,
    to: Point,
    at: Length,
    /// From the mark before it, or the edge.
    room: f64,
}

impl Cut {
    fn new(step: &Step, piece: Rect, at: Length) -> Self {
        let before = step.marks.iter().copied().filter(|mark| *mark < at);
        let room = (at - before.fold(Length::ZERO, Length::max)).to_mm();
        let mm = at.to_mm();
        let (from, to) = match step.axis {
            Axis::FrontToBack => {
                let x = piece.min.x + mm;
                (Point::new(x, piece.min.y), Point::new(x, piece.max.y))
            }
            Axis::LeftToRight => {
                let y = piece.min.y + mm;
                (Point::new(piece.min.x, y), Point::new(piece.max.x, y))
            }
        };
        Self { from, to, at, room }
    }
}

/// How things are lettered.
struct Pen {
    style: LengthStyle,
    capitals: Length,
    /// The height of a capital in millimetres.
    unit: f64,
}

impl Pen {
    fn text(&self, role: Role, at: Point, anchor: Anchor, words: impl Into<String>) -> Mark {
        Mark::new(role, Form::text(at, self.capitals, anchor, words))
    }

    fn width(&self, words: &str) -> f64 {
        lettering::width(words, self.capitals).to_mm()
    }

    /// Blanks with their numbers, and what is left over with its name and, where there is room, its size.
    fn parts(&self, pattern: &Pattern) -> Vec<Mark> {
        let (mut marks, mut blanks, mut offcuts) = (Vec::new(), 0_usize, 0_usize);
        let parts = pattern.parts();
        let has_several = parts.iter().any(|part| part.blank.is_some_and(|size| size > 0));
        for part in parts.iter().take(MOST) {
            let middle = part.rect.center() - Vec2::new(0.0, self.unit / 2.0);
            if let Some(size) = part.blank {
                blanks += 1;
                marks.push(Mark::new(Role::CutBlank, Form::rect(part.rect)));
                let mut number = blanks.to_string();
                if has_several {
                    number.push(size_letter(size));
                }
                if self.has_room(part.rect, &number, 4.0) {
                    marks.push(self.text(Role::Number, middle, Anchor::Middle, number));
                }
                continue;
            }
            marks.push(Mark::new(Role::Offcut, Form::rect(part.rect)));
            let name = offcut_name(offcuts);
            offcuts += 1;
            let size = size_words(Size::new(part.rect.width(), part.rect.depth()), self.style);
            let long = format!("{name}: {size}");
            let words = if self.has_room(part.rect, &long, 2.0) { long } else { name };
            if self.has_room(part.rect, &words, 1.4) {
                marks.push(self.text(Role::Name, middle, Anchor::Middle, words));
            }
        }
        marks
    }

    fn has_room(&self, room: Rect, words: &str, lines: f64) -> bool {
        room.width().to_mm() > self.width(words) + self.unit
            && room.depth().to_mm() > self.unit * lines
    }

    /// The number of a cut's step, at the far end of the cut and beyond it.
    fn number(&self, step: &Step, cut: &Cut) -> Option<Mark> {
        let words = step.number.to_string();
        let is_long = cut.from.distance(cut.to) > self.unit * 7.0;
        let at = match step.axis {
            Axis::FrontToBack => cut.to + Vec2::new(self.unit * 0.4, -self.unit * 1.5),
            Axis::LeftToRight => {
                cut.to + Vec2::new(-self.width(&words) - self.unit * 0.5, self.unit * 0.4)
            }
        };
        is_long.then(|| self.text(Role::CutNumber, at, Anchor::Start, words))
    }

    /// Marks along the edge of the sheet that they are measured on, all from one end.
    fn outside(&self, step: &Step, piece: Rect, cuts: &[Cut]) -> Vec<Mark> {
        let unit = self.unit;
        let Some(last) = cuts.last() else { return Vec::new() };
        let (away, edge) = match step.axis {
            Axis::FrontToBack => (Vec2::new(0.0, -unit), piece.min),
            Axis::LeftToRight => (Vec2::new(-unit, 0.0), piece.min),
        };
        let line = |a, b| Mark::new(Role::Dimension, Form::Line(a, b));
        let mut marks = vec![line(edge + away, last.from + away), line(edge, edge + away * 1.5)];
        let mut is_low = false;
        for cut in cuts {
            marks.push(line(cut.from, cut.from + away * 1.5));
            let words = self.figure(cut.at);
            // Where marks lie close, every other figure goes a line further out.
            is_low =
                step.axis == Axis::FrontToBack && cut.room < self.width(&words) + unit && !is_low;
            let (at, anchor) = match step.axis {
                Axis::FrontToBack => {
                    let down = if is_low { 4.4 } else { 2.9 };
                    (cut.from - Vec2::new(0.0, unit * down), Anchor::Middle)
                }
                Axis::LeftToRight => (cut.from - Vec2::new(unit * 2.0, unit * 0.5), Anchor::End),
            };
            if step.axis == Axis::FrontToBack || cut.room > unit * 1.4 {
                marks.push(self.text(Role::Dimension, at, anchor, words));
            }
        }
        marks
    }

    /// How far a cut is from its piece's edge, written before the cut at its near end.
    fn inside(&self, step: &Step, cut: &Cut) -> Option<Mark> {
        let (words, unit) = (self.figure(cut.at), self.unit);
        let long = cut.from.distance(cut.to);
        let (at, anchor, needs) = match step.axis {
            Axis::FrontToBack => {
                let at = cut.from + Vec2::new(-unit * 0.4, unit * 0.5);
                (at, Anchor::End, (self.width(&words) + unit * 0.8, unit * 2.0))
            }
            Axis::LeftToRight => {
                let at = cut.from + Vec2::new(unit * 0.5, -unit * 1.4);
                (at, Anchor::Start, (unit * 1.8, self.width(&words) + unit))
            }
        };
        let has_room = cut.room > needs.0 && long > needs.1;
        has_room.then(|| self.text(Role::Dimension, at, anchor, words))
    }

    /// A length without its unit and without a zero behind the point; the sheet's size says the unit.
    fn figure(&self, at: Length) -> String {
        let shown = self.style.show(at);
        let number = shown.rsplit_once(' ').map_or(shown.as_str(), |(number, _)| number);
        let has_point = number.contains('.');
        let number = if has_point { number.trim_end_matches('0') } else { number };
        number.trim_end_matches('.').to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stock::{Cutting, Wanted, most_of_one};

    fn drawn(width: f64, depth: f64) -> (Pattern, Drawing) {
        let inches = |width, depth| Size::new(Length::inches(width), Length::inches(depth));
        let wanted = Wanted { size: inches(width, depth), may_turn: true, count: 1 };
        let cutting = Cutting::snapped(Length::inches(0.060));
        let pattern = most_of_one(inches(48.0, 96.0), wanted, &cutting).expect("cuts");
        let drawing = draw_cutting(&pattern, LengthStyle::FractionInches, Length::mm(40.0));
        (pattern, drawing)
    }

    fn words(drawing: &Drawing, role: Role) -> Vec<&str> {
        let text = |mark: &'_ Mark| match &mark.form {
            Form::Text { .. } => mark.role == role,
            _ => false,
        };
        let marks = drawing.marks.iter().filter(|mark| text(mark));
        marks
            .filter_map(|mark| match &mark.form {
                Form::Text { text, .. } => Some(text.as_str()),
                _ => None,
            })
            .collect()
    }

    // 24 blanks of 12 x 16 in are a sheet (common practice).
    #[test]
    fn every_blank_has_its_number_and_every_mark_of_a_step_its_figure() {
        let (pattern, drawing) = drawn(12.0, 16.0);
        let numbers: Vec<String> = (1..=24).map(|n: u32| n.to_string()).collect();
        assert_eq!(words(&drawing, Role::Number), numbers);
        let steps = steps(&pattern);
        let n_marks: usize = steps.iter().map(|step| step.marks.len()).sum();
        assert_eq!(words(&drawing, Role::Dimension).len(), n_marks);
        let n_cuts: usize = steps.iter().map(|step| step.pieces.len() * step.marks.len()).sum();
        assert_eq!(words(&drawing, Role::CutNumber).len(), n_cuts);
        assert!(words(&drawing, Role::Name).is_empty());
    }

    #[test]
    fn what_is_left_over_is_named_with_its_size_and_lettering_stays_apart() {
        let (pattern, drawing) = drawn(15.25, 20.5);
        let n_offcuts = pattern.parts().iter().filter(|part| part.blank.is_none()).count();
        let names = words(&drawing, Role::Name);
        assert!(
            n_offcuts > 0 && names.len() <= n_offcuts && names[0].starts_with('A'),
            "{names:?}"
        );
        let texts: Vec<Rect> = drawing
            .marks
            .iter()
            .filter(|mark| matches!(mark.form, Form::Text { .. }))
            .filter_map(|mark| mark.form.bounds())
            .collect();
        for (n, one) in texts.iter().enumerate() {
            assert!(drawing.bounds.contains(one.min) && drawing.bounds.contains(one.max));
            for other in &texts[n + 1..] {
                let both = one.intersection(*other);
                assert!(both.is_none_or(|both| both.area().to_mm2() < 1e-6), "{one:?} {other:?}");
            }
        }
    }

    #[test]
    fn offcuts_go_on_after_the_alphabet() {
        assert_eq!([0, 25, 26, 53].map(offcut_name), ["A", "Z", "A2", "B3"]);
    }
}
