//! The saved form of a log of pulls: JSON of its own beside that of plans, strict, bounded, and told whole when it is wrong.

mod error;
mod form;

use std::num::NonZeroU32;

use serde::{Deserialize, Deserializer};

pub use error::{LogError, LogProblem};

use super::object::Form;
use super::pretty::pretty;
use super::unread::{self, Holds, Unread, bounded, read, version};
use crate::record::{Logbook, limits};

/// The version written, and the newest read.
const VERSION: u32 = 1;

/// Problems told of one file; the rest are counted.
const MOST_PROBLEMS: usize = 12;

/// The log as text: JSON with a final newline, the same text for equal logs.
#[must_use]
pub fn save_log(book: &Logbook) -> String {
    pretty(&compact(book))
}

/// The log as JSON without a space.
fn compact(book: &Logbook) -> String {
    let text = serde_json::to_string(&form::Log::of(book, VERSION));
    text.expect("a form with text keys and without foreign types is JSON")
}

/// The log that `text` says; `load_log(&save_log(&book))` is `book` to the last bit.
///
/// # Errors
/// Says all that is wrong with the pulls, each with its place, or else why the text is no log. Nothing is skipped.
pub fn load_log(text: &str) -> Result<Logbook, LogError> {
    let text = bounded(text, Holds::Log)?;
    match version::<Header>(text, Holds::Log)? {
        VERSION => made(read(text, Holds::Log)?),
        version => Err(Unread::Newer { holds: Holds::Log, version, reads: VERSION }.into()),
    }
}

/// True when a text is a log rather than a plan, as far as its beginning tells.
#[must_use]
pub fn is_log(text: &str) -> bool {
    let text = text.trim_start_matches('\u{feff}').trim_start();
    let inside = text.strip_prefix('{').map(str::trim_start);
    inside.is_some_and(|inside| inside.starts_with("\"onepull_log\""))
}

/// All that is read before the version is known.
#[derive(Deserialize)]
struct Header {
    onepull_log: Option<NonZeroU32>,
}

impl Form for Header {
    fn read<'de, D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Self::deserialize(from)
    }
}

impl unread::Header for Header {
    fn version(&self) -> Option<NonZeroU32> {
        self.onepull_log
    }
}

/// The log of these pulls, or everything that is wrong with them.
fn made(form: form::Log) -> Result<Logbook, LogError> {
    let mut problems = Vec::new();
    let mut count = 0;
    let pulls = form.into_pulls();
    if pulls.len() > limits::RECORDS {
        return Err(LogError::TooMany { count: pulls.len() });
    }
    let mut book = Logbook::default();
    for (at, pull) in pulls.into_iter().enumerate() {
        let taken = pull.and_then(|(id, record)| book.take(id, &record));
        if let Err(error) = taken {
            count += 1;
            if problems.len() < MOST_PROBLEMS {
                problems.push(LogProblem { at, error });
            }
        }
    }
    if problems.is_empty() { Ok(book) } else { Err(LogError::Refused { problems, count }) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::save;
    use crate::heat::Sides;
    use crate::plan::{PullId, sample};
    use crate::record::{Outcome, PullRecord, RecordId};
    use crate::units::Seconds;

    fn book() -> Logbook {
        let mut record = PullRecord::begun("2026-08-01 14:05", &sample(), PullId(1), Sides::Both);
        record.heated = Some(Seconds::new(61.25));
        record.outcomes.insert(Outcome::Web, ["Limpet".to_owned()].into());
        Logbook::default().add(RecordId(1_785_593_100_000), &record).expect("fits")
    }

    #[test]
    fn a_log_comes_back_and_reads_well() {
        let text = save_log(&book());
        assert_eq!(load_log(&text).as_ref(), Ok(&book()));
        assert!(text.starts_with("{\n  \"onepull_log\": 1,\n  \"pulls\": [\n"), "{text}");
        assert!(text.contains("{ \"what\": \"web\", \"where\": [\"Limpet\"] }"), "{text}");
        assert_eq!(load_log(&save_log(&Logbook::default())), Ok(Logbook::default()));
        assert!(is_log(&text) && !is_log(&save(&sample())) && !is_log(""));
    }

    #[test]
    fn what_is_no_log_is_refused_with_place_and_next_step() {
        let good = save_log(&book());
        for (text, words) in [
            (String::new(), "the file is empty"),
            (
                save(&sample()),
                "does not say \"onepull_log\" and a version, so it is no log of pulls",
            ),
            ("[]".into(), "so it is no log"),
            ("solid limpet".into(), "line 1, column 1 is no JSON"),
            (good[..good.len() - 20].to_owned(), "the file ends too early, at line"),
            (good.replace("\"onepull_log\": 1", "\"onepull_log\": 7"), "newer Onepull (version 7)"),
            (good.replace("\"gauge_mm\"", "\"gage_mm\""), "pulls[0].gage_mm (line"),
            (good.replace("1785593100000", "-1"), "pulls[0].id (line"),
        ] {
            let told = load_log(&text).expect_err(words).to_string();
            assert!(told.contains(words), "{told}");
        }
    }

    #[test]
    fn everything_that_is_wrong_with_the_pulls_is_told_at_once() {
        let value = serde_json::from_str::<serde_json::Value>(&save_log(&book())).expect("JSON");
        let pull = &value["pulls"][0];
        let mut thick = pull.clone();
        thick["gauge_mm"] = 99.into();
        thick["id"] = 5.into();
        let text =
            serde_json::json!({ "onepull_log": 1, "pulls": [pull, thick, pull] }).to_string();
        let told = load_log(&text).expect_err("two are wrong").to_string();
        assert!(told.contains("pulls[1]: a gauge of 99 mm is outside"), "{told}");
        assert!(told.contains("pulls[2]: the log has a pull 1785593100000 already"), "{told}");
    }
}
