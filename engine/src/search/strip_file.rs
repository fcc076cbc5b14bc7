//! Reads strips in the neutral form of the literature's instances.
//!
//! `{"name": "x", "strip_height": 38, "items": [{"count": 2, "rotations": [0, 90], "polygon": [[0, 0], [9, 0], [0, 9]]}]}`
//! with rotations in degrees, or the word `"free"`. Keys that are not known are passed over.

use std::sync::Arc;

use serde::Deserialize;

use super::{Strip, StripItem, Turns};
use crate::geometry::{Point, Problem as Fault, Region, Ring, Shape, problems};
use crate::units::{Angle, Length};

/// The most copies of all items together.
const MOST_COPIES: usize = 1000;
/// The most corners of an outline.
const MOST_CORNERS: usize = 1000;
/// The most turns of an item.
const MOST_TURNS: usize = 360;
/// The height that every strip is brought to, in millimetres, so that one tolerance serves all.
const HEIGHT: f64 = 1000.0;

/// Why a strip cannot be packed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StripError {
    /// Not the form.
    #[error("{0}")]
    Form(String),
    /// The height is no length.
    #[error("strip_height is {0}: give a number above zero")]
    Height(f64),
    /// There is nothing to pack.
    #[error("there is nothing to pack: give an item with a count above zero")]
    Nothing,
    /// More than is packed.
    #[error("{what}: {got}, and at most {limit} are read: leave some out")]
    TooMany {
        /// Of what, and where.
        what: String,
        /// How many there are.
        got: usize,
        /// How many are read.
        limit: usize,
    },
    /// An outline that bounds no surface.
    #[error("item {item}: {fault}")]
    Outline {
        /// Which item, from zero.
        item: usize,
        /// What is wrong with it, in millimetres of a strip of 1000 mm.
        fault: Fault,
    },
    /// A rotation that is no number of degrees or no word that is known.
    #[error("item {item}: the rotations must be a list of degrees or the word \"free\"")]
    Rotations {
        /// Which item, from zero.
        item: usize,
    },
    /// An item that fits the strip in none of its rotations.
    #[error("item {item} is higher than the strip however it is turned")]
    TooHigh {
        /// Which item, from zero.
        item: usize,
    },
}

#[derive(Deserialize)]
struct Form {
    #[serde(default)]
    name: String,
    strip_height: f64,
    items: Vec<FormItem>,
}

#[derive(Deserialize)]
struct FormItem {
    #[serde(default = "one")]
    count: usize,
    #[serde(default)]
    rotations: Rotations,
    polygon: Vec<[f64; 2]>,
}

const fn one() -> usize {
    1
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Rotations {
    Degrees(Vec<f64>),
    Word(String),
}

impl Default for Rotations {
    fn default() -> Self {
        Self::Degrees(vec![0.0])
    }
}

/// A strip and the millimetres to a unit of its file: every strip is brought to a height of one metre.
///
/// # Errors
///
/// Says what is not a strip, what is too much, and which outline bounds no surface.
pub fn read_strip(text: &str) -> Result<(Strip, f64), StripError> {
    let form: Form =
        serde_json::from_str(text).map_err(|error| StripError::Form(error.to_string()))?;
    let scale = HEIGHT / form.strip_height;
    if !(form.strip_height > 0.0 && scale.is_finite() && scale > 0.0) {
        return Err(StripError::Height(form.strip_height));
    }
    let n_copies = form.items.iter().fold(0_usize, |sum, item| sum.saturating_add(item.count));
    limited("copies of all items", n_copies, MOST_COPIES)?;
    if n_copies == 0 {
        return Err(StripError::Nothing);
    }
    let numbered = form.items.iter().enumerate();
    let items: Result<Vec<_>, _> =
        numbered.map(|(number, item)| read_item(number, item, scale)).collect();
    Ok((Strip { name: form.name, height: Length::mm(HEIGHT), items: items? }, scale))
}

fn limited(what: &str, got: usize, limit: usize) -> Result<(), StripError> {
    if got > limit {
        Err(StripError::TooMany { what: what.to_owned(), got, limit })
    } else {
        Ok(())
    }
}

fn read_item(number: usize, item: &FormItem, scale: f64) -> Result<StripItem, StripError> {
    limited(&format!("corners of item {number}"), item.polygon.len(), MOST_CORNERS)?;
    let corners = item.polygon.iter().map(|[x, y]| Point::new(x * scale, y * scale)).collect();
    let region = Region::new(Ring::new(corners), vec![]);
    if let Some(fault) = problems(&region).into_iter().next() {
        return Err(StripError::Outline { item: number, fault });
    }
    let shape = Arc::new(Shape::new(region));
    let turns = match &item.rotations {
        Rotations::Degrees(degrees) => {
            limited(&format!("rotations of item {number}"), degrees.len(), MOST_TURNS)?;
            if !degrees.iter().all(|degrees| degrees.is_finite()) {
                return Err(StripError::Rotations { item: number });
            }
            Turns::Of(degrees.iter().map(|&degrees| Angle::degrees(degrees)).collect())
        }
        Rotations::Word(word) if word == "free" => Turns::Free,
        Rotations::Word(_) => return Err(StripError::Rotations { item: number }),
    };
    if item.count > 0 && !fits(&shape, &turns) {
        return Err(StripError::TooHigh { item: number });
    }
    Ok(StripItem { shape, turns, count: item.count })
}

/// True when the outline is no higher than the strip in one of its turns.
fn fits(shape: &Shape, turns: &Turns) -> bool {
    use crate::geometry::{Pose, extent, min_width, tolerance};
    let limit = Length::mm(HEIGHT) + tolerance::SAME;
    match turns {
        Turns::Free => min_width(shape) <= limit,
        Turns::Of(turns) if turns.is_empty() => shape.bounds().depth() <= limit,
        Turns::Of(turns) => {
            turns.iter().any(|&turn| extent(shape, Pose::new(Point::ORIGIN, turn)).depth() <= limit)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(height: &str, item: &str) -> String {
        format!(r#"{{"strip_height": {height}, "note": 1, "items": [{item}]}}"#)
    }

    const SQUARE: &str = r#""polygon": [[0, 0], [2, 0], [2, 2], [0, 2]]"#;

    #[test]
    fn a_strip_is_brought_to_a_metre_and_says_how_it_was_scaled() {
        let item = format!(r#"{{"count": 3, "rotations": "free", {SQUARE}, "colour": "red"}}"#);
        let (strip, scale) = read_strip(&with("4", &item)).expect("a strip");
        assert!((scale - 250.0).abs() < 1e-12);
        assert_eq!(strip.items[0].turns, Turns::Free);
        assert!((strip.area().to_mm2() - 3.0 * 500.0 * 500.0).abs() < 1e-6);
        assert!((strip.density(Length::mm(1500.0)) - 0.5).abs() < 1e-12);
        let (plain, _) = read_strip(&with("4", &format!("{{{SQUARE}}}"))).expect("a strip");
        assert_eq!(
            (plain.items[0].count, &plain.items[0].turns),
            (1, &Turns::Of(vec![Angle::ZERO]))
        );
    }

    #[test]
    fn what_is_no_strip_is_refused_with_words() {
        let square = format!("{{{SQUARE}}}");
        let many = format!(r#"{{"count": 1001, {SQUARE}}}"#);
        let huge = format!(r#"{{"count": 18446744073709551615, {SQUARE}}}"#);
        let none = format!(r#"{{"count": 0, {SQUARE}}}"#);
        let word = format!(r#"{{"rotations": "any", {SQUARE}}}"#);
        let bow = r#"{"polygon": [[0, 0], [2, 2], [2, 0], [0, 2]]}"#;
        for (height, item, words) in [
            ("0", square.as_str(), "strip_height is 0: give a number above zero"),
            ("-3", &square, "strip_height is -3"),
            ("1e-320", &square, "strip_height is"),
            ("\"x\"", &square, "invalid type: string"),
            ("4", &many, "copies of all items: 1001, and at most 1000"),
            ("4", &format!("{huge}, {huge}"), "copies of all items"),
            ("4", &none, "there is nothing to pack"),
            ("4", "", "there is nothing to pack"),
            ("4", &word, "item 0: the rotations must be"),
            ("4", bow, "item 0: the outer outline meets itself"),
            ("4", r#"{"polygon": [[0, 0], [1, 0]]}"#, "item 0: the outer outline has 2 corners"),
            ("1", &square, "item 0 is higher than the strip however it is turned"),
        ] {
            let error = read_strip(&with(height, item)).expect_err(words).to_string();
            assert!(error.contains(words), "{error}");
        }
        assert!(read_strip("").is_err() && read_strip("[]").is_err());
    }
}
