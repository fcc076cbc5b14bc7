//! The repository's own text, for the tests that read it.

use std::fs;
use std::path::{Path, PathBuf};

/// One file of text, as it is committed.
#[derive(Debug)]
pub struct Source {
    /// Its path from the root of the repository, with `/` between the parts.
    pub name: String,
    /// What it says.
    pub text: String,
}

impl Source {
    /// Whether it is Rust.
    #[must_use]
    pub fn is_rust(&self) -> bool {
        self.has_end("rs")
    }

    /// Whether its name ends with a dot and this.
    #[must_use]
    pub fn has_end(&self, end: &str) -> bool {
        self.name.rsplit_once('.').is_some_and(|(_, found)| found == end)
    }

    /// A complaint about one of its lines, in the form that editors make a link of.
    #[must_use]
    pub fn at(&self, line: usize, complaint: &str) -> String {
        format!("{}:{line}: {complaint}", self.name)
    }

    /// Its lines with their numbers, from 1.
    pub fn lines(&self) -> impl Iterator<Item = (usize, &str)> {
        self.text.lines().enumerate().map(|(number, line)| (number + 1, line))
    }
}

/// The root of the repository.
#[must_use]
pub fn root() -> PathBuf {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    tests.parent().unwrap_or(tests).to_owned()
}

/// Every committed file of text, sorted by name.
///
/// # Errors
///
/// When a folder or file of the repository cannot be read.
pub fn sources() -> std::io::Result<Vec<Source>> {
    let mut found = Vec::new();
    collect(&root(), "", &mut found)?;
    found.sort_by(|one, other| one.name.cmp(&other.name));
    Ok(found)
}

fn collect(folder: &Path, prefix: &str, found: &mut Vec<Source>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        let kind = entry.file_type()?;
        if kind.is_dir() && !is_output(&name) {
            collect(&entry.path(), &format!("{name}/"), found)?;
        } else if kind.is_file() {
            // What is no text (a picture) has nothing to read.
            if let Ok(text) = String::from_utf8(fs::read(entry.path())?) {
                found.push(Source { name, text });
            }
        }
    }
    Ok(())
}

/// Whether a folder is made by a tool and not committed; the names stand in `.gitignore`, but for git's own.
fn is_output(name: &str) -> bool {
    matches!(name, ".git" | "dist" | "target")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn this_file_is_among_the_sources_with_its_first_line() {
        let sources = sources().expect("a readable repository");
        let this = sources.iter().find(|source| source.name == "tests/src/sources.rs");
        let first = this.and_then(|source| source.lines().next());
        assert!(first.is_some_and(|(number, line)| number == 1 && line.starts_with("//! ")));
        assert!(this.is_some_and(Source::is_rust));
    }
}
