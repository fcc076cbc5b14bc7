//! The saved form: a plan as JSON text and back, in every version released.

use std::num::NonZeroU32;

use serde::{Deserialize, Deserializer, Serialize};

use super::assemble::{Parts, Refusal, assemble};
use super::object::Form;
use super::pretty::pretty;
use super::unread::{self, Holds, Unread, bounded, read, version};
use super::{v1, v2, v3, v4};
use crate::edit::EditError;
use crate::plan::Plan;

/// The newest version read. Written is the oldest that can say the plan, so that older programs open what they can.
const VERSION: u32 = 4;

/// Why a text was not opened as a plan.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LoadError {
    /// It is not the form of a plan.
    #[error(transparent)]
    Unread(#[from] Unread),
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
    let text = bounded(text, Holds::Plan)?;
    match version::<Header>(text, Holds::Plan)? {
        1 => load_v1(text),
        2 => load_v2(text),
        3 => load_v3(text),
        4 => load_v4(text),
        version => Err(Unread::Newer { holds: Holds::Plan, version, reads: VERSION }.into()),
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

impl unread::Header for Header {
    fn version(&self) -> Option<NonZeroU32> {
        self.onepull
    }
}

fn load_v1(text: &str) -> Result<Plan, LoadError> {
    let plan: v1::Plan = read(text, Holds::Plan)?;
    made(plan.into_parts().map_err(two_angles)?)
}

fn load_v2(text: &str) -> Result<Plan, LoadError> {
    let plan: v2::Plan = read(text, Holds::Plan)?;
    made(plan.into_parts().map_err(unfit)?)
}

fn load_v3(text: &str) -> Result<Plan, LoadError> {
    let plan: v3::Plan = read(text, Holds::Plan)?;
    made(plan.into_parts().map_err(unfit)?)
}

fn load_v4(text: &str) -> Result<Plan, LoadError> {
    let plan: v4::Plan = read(text, Holds::Plan)?;
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

fn two_angles(v1::TwoAngles { part, deg, rad }: v1::TwoAngles) -> LoadError {
    LoadError::TwoAngles { at: part.to_string(), deg, rad }
}

fn made(parts: Parts) -> Result<Plan, LoadError> {
    assemble(parts).map_err(|refusal| match refusal {
        Refusal::NoPull => LoadError::NoPull,
        Refusal::Part(part, error) => LoadError::Refused { at: part.to_string(), error },
    })
}

/// The plan as JSON without a space.
fn compact(plan: &Plan) -> String {
    if let Some(newest) = v4::Plan::of(plan) {
        return written(&newest);
    }
    match (v3::Plan::of(plan), v1::Plan::of(plan)) {
        (Some(newer), _) => written(&newer),
        (None, Some(oldest)) => written(&oldest),
        (None, None) => written(&v2::Plan::from(plan)),
    }
}

fn written(form: &impl Serialize) -> String {
    serde_json::to_string(form).expect("a form with text keys and without foreign types is JSON")
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
                "the plan was made by a newer Onepull (version 7); this one reads up to 4: \
                 reload the page to get the newest",
            ),
        ];
        for (text, words) in cases {
            assert_eq!(load(&text).expect_err(words).to_string(), words);
        }
    }
}
