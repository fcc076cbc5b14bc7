//! Tells from cargo's own list of targets which tests drive the built page and which need none.

use std::collections::BTreeSet;

use serde_json::Value;

/// The feature that cargo asks for before it compiles a test that drives the page.
const DRIVES_THE_PAGE: &str = "browser";

/// The words that choose each part of the tests out of `cargo test`. The examples in the documentation are a third part,
/// which cargo runs only by itself (`--doc`).
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Parts {
    /// The tests that drive the page in a browser.
    pub(crate) of_the_page: Vec<String>,
    /// All others: those within the crates, and those beside them that need nothing but the engine.
    pub(crate) others: Vec<String>,
}

impl Parts {
    /// Reads what `cargo metadata --no-deps --format-version 1` says; what holds tests is in one part, whatever its name.
    pub(crate) fn of(metadata: &str) -> Result<Self, serde_json::Error> {
        let metadata: Value = serde_json::from_str(metadata)?;
        let (mut of_the_page, mut others) = (BTreeSet::new(), BTreeSet::new());
        for target in list(&metadata["packages"]).flat_map(|package| list(&package["targets"])) {
            if target["test"] != Value::Bool(true) {
                continue;
            }
            let is_of_the_page =
                list(&target["required-features"]).any(|feature| feature == DRIVES_THE_PAGE);
            let part = if is_of_the_page { &mut of_the_page } else { &mut others };
            part.insert(chosen_by(target));
        }
        let words = |part: BTreeSet<Vec<String>>| part.into_iter().flatten().collect();
        Ok(Self { of_the_page: words(of_the_page), others: words(others) })
    }
}

/// The words that choose a target. A library has none of its own: one word chooses those of all crates.
fn chosen_by(target: &Value) -> Vec<String> {
    let kind = list(&target["kind"]).find_map(Value::as_str).unwrap_or_default();
    match kind {
        "test" | "bin" | "example" | "bench" => {
            vec![format!("--{kind}"), target["name"].as_str().unwrap_or_default().to_owned()]
        }
        _ => vec!["--lib".to_owned()],
    }
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    use super::*;
    use crate::process;

    #[test]
    fn what_holds_tests_is_in_one_part_and_what_holds_none_in_neither() {
        let metadata = r#"{"packages": [
            {"targets": [
                {"kind": ["lib"], "name": "a", "test": true},
                {"kind": ["bin"], "name": "tool", "test": true},
                {"kind": ["bin"], "name": "worker", "test": false},
                {"kind": ["bench"], "name": "speed", "test": false}]},
            {"targets": [
                {"kind": ["cdylib", "rlib"], "name": "b", "test": true},
                {"kind": ["test"], "name": "laws", "test": true},
                {"kind": ["test"], "name": "odd", "required-features": ["schema"], "test": true},
                {"kind": ["test"], "name": "seen", "required-features": ["x", "browser"], "test": true}]}]}"#;
        let parts = Parts::of(metadata).expect("a list");
        assert_eq!(parts.of_the_page.join(" "), "--test seen");
        assert_eq!(parts.others.join(" "), "--bin tool --lib --test laws --test odd");
    }

    #[test]
    fn what_is_no_list_is_refused() {
        assert!(Parts::of("error: no such command").is_err());
    }

    /// Held against the files themselves: every file beside the crates is a test, and it is run with the page exactly when it
    /// drives it.
    #[test]
    fn every_test_of_this_repository_is_in_the_part_that_it_belongs_to() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        let mut cargo = process::cargo();
        cargo.current_dir(&root).args(["metadata", "--no-deps", "--format-version", "1"]);
        let parts = Parts::of(&process::capture(&mut cargo).expect("cargo runs")).expect("a list");
        let has = |part: &[String], name: &str| part.windows(2).any(|two| two == ["--test", name]);
        let mut seen = 0;
        for entry in fs::read_dir(root.join("tests")).expect("the tests") {
            let path = entry.expect("an entry").path();
            if path.extension().is_none_or(|ending| ending != "rs") {
                continue;
            }
            let name = path.file_stem().and_then(|name| name.to_str()).expect("a name");
            let drives = fs::read_to_string(&path).expect("text").contains("onepull_tests::page");
            // The journeys and what is done by keys alone lie in folders that two browsers share.
            let drives = drives || name.starts_with("browser_");
            assert_eq!(has(&parts.of_the_page, name), drives, "{name} among those of the page");
            assert_eq!(has(&parts.others, name), !drives, "{name} among the others");
            seen += 1;
        }
        assert_eq!(seen, tests_in(&parts.of_the_page) + tests_in(&parts.others));
        for word in ["--lib", "--bin xtask"] {
            assert!(parts.others.join(" ").contains(word), "{word}");
        }
    }

    fn tests_in(part: &[String]) -> usize {
        part.iter().filter(|word| *word == "--test").count()
    }
}
