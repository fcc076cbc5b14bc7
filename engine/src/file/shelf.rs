//! The saved form of a mold shelf: molds with where each came from, written whole and read without trust.

use std::sync::Arc;

use serde_json::{Value, json};

use super::{load, save};
use crate::plan::{Machine, Mold, MoldId, Plan};

/// What says that a file is a shelf, and its version.
const MARK: &str = "onepull_molds";
/// The version written, and the newest read.
const VERSION: u64 = 1;
/// Characters kept of a source.
const SOURCE_CHARS: usize = 120;
/// Entries looked at in one file; more than any shelf holds.
const MOST_ENTRIES: usize = 2000;

/// A mold in a file of the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct ShelvedMold {
    /// When it was put on the shelf, in milliseconds since 1970; the present when the file does not say.
    pub kept: Option<u64>,
    /// Where it came from.
    pub source: String,
    /// The mold.
    pub mold: Mold,
}

/// Why a file of the shelf was not read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ShelfError {
    /// No JSON.
    #[error("it is cut short or damaged ({0})")]
    Damaged(String),
    /// JSON of something else.
    #[error("it is no file of a mold shelf")]
    Other,
    /// A later version.
    #[error("it was made by a newer Onepull: reload the page to get the newest")]
    Newer,
}

/// True when a text is a shelf rather than a plan, as far as its beginning tells.
#[must_use]
pub fn is_shelf(text: &str) -> bool {
    let text = text.trim_start_matches('\u{feff}').trim_start();
    let inside = text.strip_prefix('{').map(str::trim_start);
    inside.is_some_and(|inside| inside.starts_with(&format!("\"{MARK}\"")))
}

/// A plan in the saved form that holds nothing but the mold.
#[must_use]
pub fn save_mold(mold: &Mold) -> String {
    let mut plan = Plan::new("Mold", Machine::default());
    plan.molds.insert(MoldId(1), Arc::new(mold.clone()));
    save(&plan)
}

/// The molds as a file; each is a moment, a source and a saved plan that holds it.
#[must_use]
pub fn save_shelf(molds: &[(u64, String, String)]) -> String {
    let entry = |(kept, source, saved): &(u64, String, String)| {
        let plan: Value = serde_json::from_str(saved).unwrap_or_default();
        json!({ "kept": kept, "source": source, "plan": plan })
    };
    let entries: Vec<Value> = molds.iter().map(entry).collect();
    // The mark first, because it is looked for there.
    let entries = serde_json::to_string_pretty(&entries).unwrap_or_default();
    format!("{{\n\"{MARK}\": {VERSION},\n\"molds\": {entries}\n}}\n")
}

/// The molds of a file, and how many entries could not be read.
///
/// # Errors
/// Says why nothing was read.
pub fn load_shelf(text: &str) -> Result<(Vec<ShelvedMold>, usize), ShelfError> {
    let value: Value = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .map_err(|error| ShelfError::Damaged(error.to_string()))?;
    match value.get(MARK).and_then(Value::as_u64) {
        None => return Err(ShelfError::Other),
        Some(version) if version > VERSION => return Err(ShelfError::Newer),
        Some(_) => {}
    }
    let entries = value.get("molds").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
    let molds: Vec<ShelvedMold> = entries.iter().take(MOST_ENTRIES).filter_map(shelved).collect();
    let n_unread = entries.len() - molds.len();
    Ok((molds, n_unread))
}

fn shelved(entry: &Value) -> Option<ShelvedMold> {
    let plan = load(&entry.get("plan")?.to_string()).ok()?;
    let mold = plan.molds.into_values().next().map(Arc::unwrap_or_clone)?;
    let source = entry.get("source").and_then(Value::as_str).unwrap_or("a file");
    let source = source.chars().filter(|c| !c.is_control()).take(SOURCE_CHARS).collect();
    Some(ShelvedMold { kept: entry.get("kept").and_then(Value::as_u64), source, mold })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample;

    #[test]
    fn a_shelf_reads_back_to_the_last_bit() {
        let plan = sample();
        let molds: Vec<_> = (0_u64..)
            .zip(plan.molds.values())
            .map(|(kept, mold)| (kept, format!("from {}", mold.name), save_mold(mold)))
            .collect();
        let text = save_shelf(&molds);
        assert!(is_shelf(&text) && load(&text).is_err());
        let (read, n_unread) = load_shelf(&text).expect("reads");
        assert_eq!((read.len(), n_unread), (plan.molds.len(), 0));
        for ((shelved, mold), kept) in read.iter().zip(plan.molds.values()).zip(0..) {
            assert_eq!((&shelved.mold, shelved.kept), (&**mold, Some(kept)));
            assert_eq!(shelved.source, format!("from {}", mold.name));
        }
    }

    #[test]
    fn what_cannot_be_read_is_counted_and_the_rest_is_taken() {
        let plan = sample();
        let mold = plan.molds.values().next().expect("has molds");
        let text =
            save_shelf(&[(1, "here".into(), save_mold(mold)), (2, "there".into(), "{}".into())]);
        let (molds, n_unread) = load_shelf(&text).expect("reads");
        assert_eq!((molds.len(), n_unread), (1, 1));
        let many = format!("{{\"{MARK}\": 1, \"molds\": [{}0]}}", "0,".repeat(5000));
        assert_eq!(load_shelf(&many), Ok((Vec::new(), 5001)));
    }

    #[test]
    fn other_files_are_refused_in_words() {
        for (text, words) in [
            ("", "damaged"),
            ("{\"onepull_molds\": 1, \"molds\": [", "cut short"),
            ("{\"onepull_molds\": 9, \"molds\": []}", "newer"),
            ("{\"onepull\": 1}", "no file of a mold shelf"),
            ("[]", "no file of a mold shelf"),
        ] {
            let refused = load_shelf(text).expect_err(text).to_string();
            assert!(refused.contains(words), "{text}: {refused}");
        }
        assert!(
            !is_shelf("{\"onepull\": 1}")
                && !is_shelf("")
                && is_shelf("\u{feff} {\n\"onepull_molds\": 1}")
        );
    }
}
