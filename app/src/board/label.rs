//! What is written on a mold: number, name, height and what has no other place, as far as it fits.

use engine::drawing::{Form, Mark, Role, lettering};
use engine::rules::Severity;
use engine::units::Length;

/// The sizes of the lettering in pixels; it stays the same however the drawing is zoomed.
const NUMBER_PX: f64 = 22.0;
const SMALL_NUMBER_PX: f64 = 15.0;
const NAME_PX: f64 = 14.0;
const HEIGHT_PX: f64 = 13.0;
/// From the centre cross to the lettering above and below it, and from one line to the next.
const CROSS_PX: f64 = 9.0;
const LEADING_PX: f64 = 6.0;
/// A sign and the space behind it.
const SIGN_PX: f64 = 18.0;
/// Capitals over the size a font is asked for in, as in the engine's lettering.
const CAPITAL: f64 = 0.718;
/// System fonts run wider than the Helvetica that the engine measures by.
const WIDER: f64 = 1.1;
/// How much of a round mold's width is left where its lower lines stand, and how much of its depth below the
/// centre is wide enough for them.
const CHORD: f64 = 0.86;
const BELOW: f64 = 0.42;
/// A mold of less width or depth than this, in pixels, has a small number.
const SMALL_PX: f64 = 56.0;

/// The class of the line that tells the height.
pub(super) const HEIGHT: &str = "label-height";

/// One line of lettering on a mold.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    /// Its class.
    pub(super) class: &'static str,
    /// Where it has its middle, or begins behind a sign, beside the mold's centre, in pixels.
    pub(super) x: f64,
    /// Its baseline below the mold's centre, in pixels.
    pub(super) y: f64,
    /// What it says.
    pub(super) text: String,
    /// The sign before it, and where the sign's middle is beside the mold's centre, in pixels.
    pub(super) sign: Option<(Severity, f64)>,
}

impl Line {
    /// The size of its lettering in pixels.
    pub(super) fn size(&self) -> f64 {
        match self.class {
            "label-number" => NUMBER_PX,
            "label-number label-small" => SMALL_NUMBER_PX,
            "label-name" => NAME_PX,
            _ => HEIGHT_PX,
        }
    }
}

/// What the rules say of a mold without naming a place.
pub(super) type Remark = (Severity, &'static str);

/// The lines for a mold that is `room` pixels wide and deep on the board: the number, and of name, remarks and
/// height as much as fits. Remarks that do not fit leave their sign beside the number.
pub(super) fn lines(marks: &[Mark], remarks: &[Remark], room: [f64; 2]) -> Vec<Line> {
    let is_small = room[0].min(room[1]) < SMALL_PX;
    let class = if is_small { "label-number label-small" } else { "label-number" };
    let number = written(marks, Role::Number).map(|text| word(class, text));
    let room = [room[0] * CHORD, room[1] * BELOW];
    let name: Vec<Sized> =
        written(marks, Role::Name).map_or_else(Vec::new, |text| name(text, room[0]));
    let height: Vec<Sized> = written(marks, Role::Height)
        .map(|text| (HEIGHT_PX, word(HEIGHT, text)))
        .into_iter()
        .collect();
    let signs: Vec<Sized> = remarks.iter().map(remark).collect();
    let below =
        [[name.clone(), height, signs.clone()].concat(), [name.clone(), signs].concat(), name];
    let fitting = below.into_iter().find(|words| is_fitting(words, room)).unwrap_or_default();
    let is_said = fitting.iter().any(|(_, line)| line.sign.is_some());
    let worst = remarks.iter().map(|(severity, _)| *severity).max().filter(|_| !is_said);
    above(number, worst).into_iter().chain(under(fitting)).collect()
}

/// The lines as one text, as they are read.
pub(super) fn text(lines: &[Line]) -> String {
    lines.iter().map(|line| line.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// A line that has no place yet, with the size of its lettering.
type Sized = (f64, Line);

fn written(marks: &[Mark], role: Role) -> Option<&str> {
    marks.iter().find(|mark| mark.role == role).and_then(|mark| match &mark.form {
        Form::Text { text, .. } => Some(text.as_str()),
        Form::Region(_) | Form::Line(..) | Form::Polyline(_) => None,
    })
}

fn word(class: &'static str, text: &str) -> Line {
    Line { class, x: 0.0, y: 0.0, text: text.to_owned(), sign: None }
}

/// The name; where it is too long for one line, the copy on a line of its own or the words on two.
fn name(text: &str, wide: f64) -> Vec<Sized> {
    let size = Length::mm(NAME_PX * CAPITAL);
    let parts = match text.rfind(", ") {
        _ if width(NAME_PX, text) <= wide => vec![text.to_owned()],
        Some(comma) => vec![text[..=comma].to_owned(), text[comma + 2..].to_owned()],
        None => lettering::wrapped(text, size, Length::mm(wide / WIDER)),
    };
    let parts = if parts.len() > 2 { vec![text.to_owned()] } else { parts };
    parts.iter().map(|part| (NAME_PX, word("label-name", part))).collect()
}

fn remark(&(severity, text): &Remark) -> Sized {
    let class = match severity {
        Severity::Note => "label-remark label-note",
        Severity::Caution => "label-remark label-caution",
        Severity::Stop => "label-remark label-stop",
    };
    let start = (SIGN_PX - width(HEIGHT_PX, text)) / 2.0;
    let sign = Some((severity, start - SIGN_PX / 2.0));
    (HEIGHT_PX, Line { x: start, sign, ..word(class, text) })
}

fn width(px: f64, text: &str) -> f64 {
    lettering::width(text, Length::mm(px * CAPITAL)).to_mm() * WIDER
}

fn is_fitting(words: &[Sized], [wide, below]: [f64; 2]) -> bool {
    let width_of = |(px, line): &Sized| {
        width(*px, &line.text) + if line.sign.is_some() { SIGN_PX } else { 0.0 }
    };
    let depth: f64 = words.iter().map(|(px, _)| px * CAPITAL + LEADING_PX).sum();
    !words.is_empty() && words.iter().all(|word| width_of(word) <= wide) && depth <= below
}

/// The number stands on the centre cross, with a sign on its left where there is something to say.
fn above(number: Option<Line>, worst: Option<Severity>) -> Option<Line> {
    let number = number?;
    let aside = -(width(NUMBER_PX, &number.text) + SIGN_PX) / 2.0;
    Some(Line { y: -CROSS_PX, sign: worst.map(|severity| (severity, aside)), ..number })
}

/// The rest stands below the centre cross, one line under the other.
fn under(words: Vec<Sized>) -> Vec<Line> {
    let mut y = CROSS_PX - LEADING_PX;
    let mut line = |(px, line): Sized| {
        y += px * CAPITAL + LEADING_PX;
        Line { y, ..line }
    };
    words.into_iter().map(&mut line).collect()
}

#[cfg(test)]
mod tests {
    use engine::drawing::draw;
    use engine::plan::{PlacementId, PullId, sample};
    use engine::rules::Subject;

    use super::*;

    const NOTE: Remark = (Severity::Note, "gauge");

    fn marks(id: u32) -> Vec<Mark> {
        let drawing = draw(&sample(), PullId(1), &[]);
        let is_own = |m: &Mark| m.subject == Some(Subject::Placement(PlacementId(id)));
        drawing.marks.into_iter().filter(is_own).collect()
    }

    fn texts(id: u32, remarks: &[Remark], room: [f64; 2]) -> Vec<String> {
        lines(&marks(id), remarks, room).into_iter().map(|line| line.text).collect()
    }

    #[test]
    fn everything_is_written_where_it_fits_and_the_number_always() {
        assert_eq!(texts(2, &[NOTE], [140.0, 130.0]), ["2", "Limpet", "22 mm tall", "gauge"]);
        assert_eq!(texts(2, &[NOTE], [120.0, 78.0]), ["2", "Limpet", "gauge"]);
        assert_eq!(texts(2, &[NOTE], [120.0, 45.0]), ["2", "Limpet"]);
        assert_eq!(texts(2, &[], [60.0, 45.0]), ["2", "Limpet"]);
        assert_eq!(texts(2, &[NOTE], [20.0, 20.0]), ["2"]);
    }

    #[test]
    fn a_long_name_stands_on_two_lines() {
        assert_eq!(texts(5, &[], [120.0, 120.0]), ["5", "Clam half,", "copy 1", "18 mm tall"]);
    }

    #[test]
    fn a_small_mold_has_a_small_number() {
        let class = |room| lines(&marks(2), &[], room)[0].class;
        assert_eq!(class([120.0, 120.0]), "label-number");
        assert_eq!(class([120.0, 30.0]), "label-number label-small");
    }

    #[test]
    fn the_lines_stand_one_below_the_other_clear_of_the_centre_cross() {
        let got = lines(&marks(2), &[NOTE], [200.0, 200.0]);
        assert!(got.windows(2).all(|pair| pair[0].y < pair[1].y), "{got:?}");
        assert!(got[0].y <= -CROSS_PX);
        assert!(got[1].y - NAME_PX * CAPITAL >= CROSS_PX - 1e-9);
    }

    #[test]
    fn the_sign_of_a_remark_stands_before_its_word() {
        let got = lines(&marks(2), &[NOTE], [200.0, 200.0]);
        let (severity, x) = got[3].sign.expect("a sign");
        assert_eq!(severity, Severity::Note);
        assert!(x < got[3].x && got[3].x < 0.0);
        assert_eq!(got[0].sign, None);
    }

    #[test]
    fn a_remark_that_does_not_fit_leaves_its_sign_beside_the_number() {
        let got = lines(&marks(2), &[NOTE, (Severity::Stop, "too tall")], [20.0, 20.0]);
        let (severity, x) = got[0].sign.expect("a sign");
        assert_eq!(severity, Severity::Stop, "the worst of them");
        assert!(x < 0.0);
    }
}
