//! The shelf as a file: written whole, and read without trust.

use std::sync::Arc;

use engine::file::load;
use engine::plan::Mold;
use serde_json::{Value, json};

/// What says that a file is a shelf, and its version.
const MARK: &str = "onepull_molds";
/// The version written, and the newest read.
const VERSION: u64 = 1;
/// Characters kept of a source.
const SOURCE_CHARS: usize = 120;

/// A mold in a file of the shelf.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FiledMold {
    /// When it was put on the shelf, in milliseconds since 1970; the present when the file does not say.
    pub(super) kept: Option<u64>,
    /// Where it came from.
    pub(super) source: String,
    /// The mold.
    pub(super) mold: Mold,
}

/// True when a text is a shelf rather than a plan, as far as its beginning tells.
pub(in crate::panels) fn is_shelf(text: &str) -> bool {
    let text = text.trim_start_matches('\u{feff}').trim_start();
    let inside = text.strip_prefix('{').map(str::trim_start);
    inside.is_some_and(|inside| inside.starts_with(&format!("\"{MARK}\"")))
}

/// The molds as a file; each is a moment, a source and a saved plan that holds it.
pub(super) fn write(molds: &[(u64, String, String)]) -> String {
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
pub(super) fn read(text: &str) -> Result<(Vec<FiledMold>, usize), String> {
    let value: Value = serde_json::from_str(text.trim_start_matches('\u{feff}'))
        .map_err(|error| format!("it is cut short or damaged ({error})"))?;
    let version = value.get(MARK).and_then(Value::as_u64);
    match version {
        None => return Err("it is no file of a mold shelf".into()),
        Some(version) if version > VERSION => {
            return Err("it was made by a newer Onepull: reload the page to get the newest".into());
        }
        Some(_) => {}
    }
    let entries = value.get("molds").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
    let molds: Vec<FiledMold> = entries.iter().filter_map(filed).collect();
    let n_unread = entries.len() - molds.len();
    Ok((molds, n_unread))
}

fn filed(entry: &Value) -> Option<FiledMold> {
    let plan = load(&entry.get("plan")?.to_string()).ok()?;
    let mold = plan.molds.into_values().next().map(Arc::unwrap_or_clone)?;
    let source = entry.get("source").and_then(Value::as_str).unwrap_or("a file");
    let source = source.chars().filter(|c| !c.is_control()).take(SOURCE_CHARS).collect();
    Some(FiledMold { kept: entry.get("kept").and_then(Value::as_u64), source, mold })
}

#[cfg(test)]
mod tests {
    use engine::plan::sample;

    use super::*;
    use crate::panels::mold_text::text_of;

    #[test]
    fn a_shelf_reads_back_to_the_last_bit() {
        let plan = sample();
        let molds: Vec<_> = (0_u64..)
            .zip(plan.molds.values())
            .map(|(kept, mold)| (kept, format!("from {}", mold.name), text_of(mold)))
            .collect();
        let text = write(&molds);
        assert!(is_shelf(&text) && load(&text).is_err());
        let (read, n_unread) = read(&text).expect("reads");
        assert_eq!((read.len(), n_unread), (plan.molds.len(), 0));
        for ((filed, mold), kept) in read.iter().zip(plan.molds.values()).zip(0..) {
            assert_eq!((&filed.mold, filed.kept), (&**mold, Some(kept)));
            assert_eq!(filed.source, format!("from {}", mold.name));
        }
    }

    #[test]
    fn what_cannot_be_read_is_counted_and_the_rest_is_taken() {
        let plan = sample();
        let mold = plan.molds.values().next().expect("has molds");
        let text = write(&[(1, "here".into(), text_of(mold)), (2, "there".into(), "{}".into())]);
        let (molds, n_unread) = read(&text).expect("reads");
        assert_eq!((molds.len(), n_unread), (1, 1));
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
            assert!(read(text).expect_err(text).contains(words), "{text}");
        }
        assert!(
            !is_shelf("{\"onepull\": 1}")
                && !is_shelf("")
                && is_shelf("\u{feff} {\n\"onepull_molds\": 1}")
        );
    }
}
