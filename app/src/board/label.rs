//! What is written on a mold: number, name and height where they fit, else its number alone.

use engine::drawing::{Form, Mark, Role, lettering};
use engine::units::Length;

/// The sizes of the lettering in pixels; it stays the same however the drawing is zoomed.
const NUMBER_PX: f64 = 22.0;
const NAME_PX: f64 = 14.0;
const HEIGHT_PX: f64 = 13.0;
/// From one line to the next.
const LEADING_PX: f64 = 4.0;
/// Capitals over the size a font is asked for in, as in the engine's lettering.
const CAPITAL: f64 = 0.718;
/// A line may reach a little over the outline: its halo keeps it readable.
const OVERHANG: f64 = 1.06;

/// One line of lettering on a mold.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    /// Its class.
    pub(super) class: &'static str,
    /// Its baseline below the mold's centre, in pixels.
    pub(super) y: f64,
    /// What it says.
    pub(super) text: String,
}

/// The lines for a mold that is `room` pixels wide and deep on the board.
pub(super) fn lines(marks: &[Mark], room: [f64; 2]) -> Vec<Line> {
    let text = |role: Role| marks.iter().find(|mark| mark.role == role).and_then(text_of);
    let line = |role, class, px| text(role).map(|text| (class, px, text));
    let number = line(Role::Number, "label-number", NUMBER_PX);
    let name = line(Role::Name, "label-name", NAME_PX);
    let height = line(Role::Height, "label-height", HEIGHT_PX);
    let all: Vec<_> = [number.clone(), name.clone(), height].into_iter().flatten().collect();
    let named: Vec<_> = [number.clone(), name].into_iter().flatten().collect();
    let alone: Vec<_> = number.into_iter().collect();
    let fitting = [all, named].into_iter().find(|words| is_fitting(words, room)).unwrap_or(alone);
    stacked(fitting)
}

type Word<'a> = (&'static str, f64, &'a str);

fn text_of(mark: &Mark) -> Option<&str> {
    match &mark.form {
        Form::Text { text, .. } => Some(text),
        Form::Region(_) | Form::Line(..) | Form::Polyline(_) => None,
    }
}

fn is_fitting(words: &[Word<'_>], [wide, deep]: [f64; 2]) -> bool {
    let width = |(_, px, text): &Word<'_>| lettering::width(text, Length::mm(px * CAPITAL)).to_mm();
    words.iter().all(|word| width(word) <= wide * OVERHANG) && depth(words) <= deep
}

fn depth(words: &[Word<'_>]) -> f64 {
    words.iter().map(|(_, px, _)| px * CAPITAL + LEADING_PX * 1.5).sum()
}

/// The lines as one block about the mold's centre.
fn stacked(words: Vec<Word<'_>>) -> Vec<Line> {
    let step = |px: f64| px * CAPITAL + LEADING_PX * 1.5;
    let mut y = -depth(&words) / 2.0 - LEADING_PX * 0.75;
    let mut line = |(class, px, text): Word<'_>| {
        y += step(px);
        Line { class, y: y + LEADING_PX * 0.75, text: text.to_owned() }
    };
    words.into_iter().map(&mut line).collect()
}

#[cfg(test)]
mod tests {
    use engine::drawing::draw;
    use engine::plan::{PullId, sample};
    use engine::rules::Subject;

    use super::*;

    fn limpet() -> Vec<Mark> {
        let drawing = draw(&sample(), PullId(1), &[]);
        let is_limpet =
            |m: &Mark| m.subject == Some(Subject::Placement(engine::plan::PlacementId(2)));
        drawing.marks.into_iter().filter(is_limpet).collect()
    }

    fn texts(room: [f64; 2]) -> Vec<String> {
        lines(&limpet(), room).into_iter().map(|line| line.text).collect()
    }

    #[test]
    fn everything_is_written_where_it_fits_and_the_number_always() {
        assert_eq!(texts([120.0, 100.0]), ["2", "Limpet", "22 mm tall"]);
        assert_eq!(texts([60.0, 45.0]), ["2", "Limpet"]);
        assert_eq!(texts([20.0, 20.0]), ["2"]);
    }

    #[test]
    fn the_lines_stand_one_below_the_other_about_the_centre() {
        let got = lines(&limpet(), [200.0, 200.0]);
        assert!(got.windows(2).all(|pair| pair[0].y < pair[1].y), "{got:?}");
        let top = got[0].y - NUMBER_PX * CAPITAL;
        let bottom = got[got.len() - 1].y;
        assert!((top + bottom).abs() < 2.0 * LEADING_PX, "{top} {bottom}");
    }
}
