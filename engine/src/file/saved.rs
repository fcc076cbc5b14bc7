//! The saved form: a plan as JSON text and back, in every version released.

use std::marker::PhantomData;
use std::num::NonZeroU32;

use serde::{Deserialize, Deserializer};
use serde_json::error::Category;

use super::assemble::{Parts, Refusal, assemble};
use super::object::{Form, Object};
use super::pretty::pretty;
use super::{v1, v2, v3};
use crate::edit::EditError;
use crate::plan::Plan;

/// The newest version read. Written is the oldest that can say the plan, so that older programs open what they can.
const VERSION: u32 = 3;

/// The largest file read: the largest plan within [`crate::plan::limits`] needs 12 million bytes.
const MOST_BYTES: usize = 16 << 20;

/// Why a text was not opened as a plan.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LoadError {
    /// Nothing stands in the file.
    #[error("the file is empty; choose a plan saved by Onepull")]
    Empty,
    /// More bytes than any plan needs.
    #[error(
        "the file has {bytes} bytes, more than the {most} of the largest plan; choose a plan saved by Onepull"
    )]
    TooLarge {
        /// As given.
        bytes: usize,
        /// The most that are read.
        most: usize,
    },
    /// The text ends before the plan does.
    #[error(
        "the file ends too early, at line {line}, column {column}: it was cut short; copy or download it again"
    )]
    CutShort {
        /// Where it ends, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
    },
    /// The text is no JSON.
    #[error(
        "line {line}, column {column} is no JSON ({what}); choose a plan saved by Onepull, or correct that line"
    )]
    NotJson {
        /// Where, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
        /// What the JSON reader expected.
        what: String,
    },
    /// JSON, but of something else.
    #[error(
        "the file does not say \"onepull\" and a version, so it is no plan; choose a plan saved by Onepull"
    )]
    NotAPlan,
    /// A version from the future.
    #[error(
        "the plan was made by a newer Onepull (version {version}); this one reads up to {reads}: reload the page to get the newest"
    )]
    Newer {
        /// The version of the file.
        version: u32,
        /// The newest version read.
        reads: u32,
    },
    /// A key that is unknown, missing or doubled, or a value of the wrong type.
    #[error("{at} (line {line}, column {column}): {what}; correct it, or save the plan again")]
    Form {
        /// The path of the value, such as `molds[3].height_mm`.
        at: String,
        /// Where it ends, from 1.
        line: usize,
        /// Where in the line, from 1.
        column: usize,
        /// What the reader of the form expected.
        what: String,
    },
    /// An angle given twice, differently.
    #[error("{at}: {deg} degrees are not {rad} radians; leave out the radians")]
    TwoAngles {
        /// The path of the value's owner.
        at: String,
        /// The angle in degrees.
        deg: f64,
        /// The angle in radians.
        rad: f64,
    },
    /// Heights that are not those of the grid that is told.
    #[error(
        "{at}.relief.heights.tenths: this is not the text of {columns} x {rows} heights; save the plan again"
    )]
    Grid {
        /// The path of the mold.
        at: String,
        /// As told.
        columns: u32,
        /// As told.
        rows: u32,
    },
    /// No pull stands in the plan.
    #[error("pulls: a plan has at least one pull; add one, with or without placements")]
    NoPull,
    /// A value that no plan accepts.
    #[error("{at}: {error}")]
    Refused {
        /// The path of the part, such as `molds[3]`.
        at: String,
        /// What the edit that sets it says.
        error: EditError,
    },
}

/// The plan as text: JSON with a final newline, the same text for equal plans.
///
/// What fits on a line stands on one line, so that files can be read and compared.
#[must_use]
pub fn save(plan: &Plan) -> String {
    pretty(&compact(plan))
}

/// The plan that `text` says; `load(&save(&plan))` is `plan` to the last bit for every plan made by edits.
///
/// # Errors
/// Says what is wrong, where, and what to do about it. Nothing is skipped: an unknown key is an error, because
/// a later version may mean something by it.
pub fn load(text: &str) -> Result<Plan, LoadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > MOST_BYTES {
        return Err(LoadError::TooLarge { bytes: text.len(), most: MOST_BYTES });
    }
    if text.trim().is_empty() {
        return Err(LoadError::Empty);
    }
    match version(text)? {
        1 => load_v1(text),
        2 => load_v2(text),
        3 => load_v3(text),
        version => Err(LoadError::Newer { version, reads: VERSION }),
    }
}

/// All that is read before the version is known.
#[derive(Deserialize)]
struct Header {
    onepull: Option<NonZeroU32>,
}

impl Form for Header {
    fn read<'de, D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Self::deserialize(from)
    }
}

/// The version that `text` says, once it is known to be JSON from its beginning to its end.
fn version(text: &str) -> Result<u32, LoadError> {
    let mut json = serde_json::Deserializer::from_str(text);
    let header = json.deserialize_map(Object(PhantomData::<Header>));
    let header = header.and_then(|header| json.end().map(|()| header)).map_err(|error| {
        let (line, column) = (error.line(), error.column());
        let is_object = text.trim_start().starts_with('{');
        match error.classify() {
            Category::Data if is_object => form("onepull", &error),
            Category::Data => LoadError::NotAPlan,
            Category::Eof => LoadError::CutShort { line, column },
            // A number cut after its sign is wrong rather than unfinished to the reader.
            _ if is_object && is_at_end(text, line, column) => LoadError::CutShort { line, column },
            _ => LoadError::NotJson { line, column, what: what(&error) },
        }
    })?;
    header.onepull.map(NonZeroU32::get).ok_or(LoadError::NotAPlan)
}

pub(super) fn is_at_end(text: &str, line: usize, column: usize) -> bool {
    let mut lines = text.split('\n');
    let last_length = lines.next_back().map_or(0, str::len);
    column == last_length && line == lines.count() + 1
}

fn load_v1(text: &str) -> Result<Plan, LoadError> {
    let plan: v1::Plan = read(text)?;
    made(plan.into_parts().map_err(two_angles)?)
}

fn load_v2(text: &str) -> Result<Plan, LoadError> {
    let plan: v2::Plan = read(text)?;
    made(plan.into_parts().map_err(unfit)?)
}

fn load_v3(text: &str) -> Result<Plan, LoadError> {
    let plan: v3::Plan = read(text)?;
    made(plan.into_parts().map_err(unfit)?)
}

fn unfit(unfit: v2::Unfit) -> LoadError {
    match unfit {
        v2::Unfit::Angles(angles) => two_angles(angles),
        v2::Unfit::Grid { part, columns, rows } => {
            LoadError::Grid { at: part.to_string(), columns, rows }
        }
    }
}

fn read<T: for<'de> Deserialize<'de>>(text: &str) -> Result<T, LoadError> {
    let mut json = serde_json::Deserializer::from_str(text);
    serde_path_to_error::deserialize(&mut json)
        .map_err(|error| form(&error.path().to_string(), error.inner()))
}

fn two_angles(v1::TwoAngles { part, deg, rad }: v1::TwoAngles) -> LoadError {
    LoadError::TwoAngles { at: part.to_string(), deg, rad }
}

fn made(parts: Parts) -> Result<Plan, LoadError> {
    assemble(parts).map_err(|refusal| match refusal {
        Refusal::NoPull => LoadError::NoPull,
        Refusal::Part(part, error) => LoadError::Refused { at: part.to_string(), error },
    })
}

fn form(path: &str, error: &serde_json::Error) -> LoadError {
    let at = if path == "." { "the plan".to_owned() } else { path.to_owned() };
    LoadError::Form { at, line: error.line(), column: error.column(), what: what(error) }
}

/// The reader's words without the place, which is data of its own.
pub(super) fn what(error: &serde_json::Error) -> String {
    let words = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    words.strip_suffix(&place).unwrap_or(&words).to_owned()
}

/// The plan as JSON without a space.
fn compact(plan: &Plan) -> String {
    let text = match (v3::Plan::of(plan), v1::Plan::of(plan)) {
        (Some(newest), _) => serde_json::to_string(&newest),
        (None, Some(oldest)) => serde_json::to_string(&oldest),
        (None, None) => serde_json::to_string(&v2::Plan::from(plan)),
    };
    text.expect("a form with text keys and without foreign types is JSON")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample;

    #[test]
    fn the_sample_plan_comes_back() {
        let text = save(&sample());
        assert_eq!(load(&text).expect("own text loads"), sample());
        assert!(text.starts_with("{\n  \"onepull\": 1,\n  \"name\": \"Tide-pool kit\",\n"));
        assert!(text.ends_with("}\n"));
    }

    #[test]
    fn what_is_no_plan_is_refused_with_place_and_next_step() {
        let good = save(&sample());
        let cases = [
            (String::new(), "the file is empty; choose a plan saved by Onepull"),
            (
                "{\"shapes\": []}".to_owned(),
                "the file does not say \"onepull\" and a version, so it is no plan; \
                 choose a plan saved by Onepull",
            ),
            (
                "solid limpet".to_owned(),
                "line 1, column 1 is no JSON (expected value); \
                 choose a plan saved by Onepull, or correct that line",
            ),
            (
                good[..190].to_owned(),
                "the file ends too early, at line 6, column 75: it was cut short; \
                 copy or download it again",
            ),
            (
                good.replace("\"onepull\": 1", "\"onepull\": 7"),
                "the plan was made by a newer Onepull (version 7); this one reads up to 3: \
                 reload the page to get the newest",
            ),
        ];
        for (text, words) in cases {
            assert_eq!(load(&text).expect_err(words).to_string(), words);
        }
    }
}
