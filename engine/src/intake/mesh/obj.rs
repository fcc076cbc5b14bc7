//! OBJ: corners and faces as text, without a unit; materials, curves and groups are passed over.

use super::super::problem::{Counted, Place, Problems, Trouble, shortened};
use super::solid::{Corner, Gather};
use super::stl::corner;

/// Corners of one face; more are no face that a modelling program writes.
const MOST_SIDES: usize = 1000;

/// Takes all faces, those of more than three corners as a fan.
pub(super) fn read(bytes: &[u8], gather: &mut Gather, problems: &mut Problems) {
    let text = String::from_utf8_lossy(bytes);
    let mut corners: Vec<Corner> = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        let line = line.trim();
        let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        match word {
            "v" => {
                let place = corner(rest);
                if place.is_none() {
                    bad(rest, "it counts as a corner that is not a number", number, problems);
                }
                corners.push(place.unwrap_or([f64::NAN; 3]));
            }
            "f" => face(rest, number, &corners, gather, problems),
            "curv" | "surf" => {
                problems.count(Counted::Skipped, "curved surfaces", &Place::Line(number));
            }
            _ => {}
        }
        if gather.is_full() {
            return;
        }
    }
}

fn bad(text: &str, done: &'static str, number: usize, problems: &mut Problems) {
    let trouble = Trouble::BadValue { what: "the line".to_owned(), text: shortened(text), done };
    problems.push(Place::Line(number), trouble);
}

fn face(
    text: &str,
    number: usize,
    corners: &[Corner],
    gather: &mut Gather,
    problems: &mut Problems,
) {
    let words = text.split_ascii_whitespace().take(MOST_SIDES);
    let places: Option<Vec<Corner>> = words.map(|word| place(word, corners)).collect();
    let Some(places) = places.filter(|places| places.len() > 2) else {
        return bad(text, "the face was left out", number, problems);
    };
    let [first, rest @ ..] = &places[..] else { return };
    for pair in rest.windows(2) {
        gather.add([*first, pair[0], pair[1]], || Place::Line(number), problems);
    }
}

/// The corner that a word such as `7/2/3` or `-1` names.
fn place(word: &str, corners: &[Corner]) -> Option<Corner> {
    let number: i64 = word.split('/').next()?.parse().ok()?;
    let index = if number < 0 {
        corners.len().checked_sub(usize::try_from(number.unsigned_abs()).ok()?)?
    } else {
        usize::try_from(number).ok()?.checked_sub(1)?
    };
    corners.get(index).copied()
}
