//! Notices that a source has changed, by looking at the times of the files.
//!
//! Asking the system to tell us would be quicker than the half second of a look, but needs a crate with a part for
//! each system; the sources are a few hundred files, and a look costs a few milliseconds.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, SystemTime};

use crate::folder;

/// What the page is made from, relative to the root of the repository.
const SOURCES: [&str; 7] = [
    "engine/src",
    "app/src",
    "public",
    "index.html",
    "Cargo.toml",
    "engine/Cargo.toml",
    "app/Cargo.toml",
];

const LOOK_EVERY: Duration = Duration::from_millis(500);

/// The sources with the time each was last written.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Sources(BTreeMap<PathBuf, SystemTime>);

impl Sources {
    /// Looks at the sources as they are now; one that cannot be read counts as not there.
    pub(crate) fn look(root: &Path) -> Self {
        let mut times = BTreeMap::new();
        for source in SOURCES.map(|source| root.join(source)) {
            let below = folder::files(&source).unwrap_or_default();
            let files = below.iter().map(|name| source.join(name)).chain([source.clone()]);
            for file in files {
                if let Ok(time) = fs::metadata(&file).and_then(|data| data.modified()) {
                    times.insert(file, time);
                }
            }
        }
        Self(times)
    }

    /// Waits until the sources differ from these, and then until they keep still for one look, so that saving
    /// many files at once is one change.
    pub(crate) fn wait_for_change(&self, root: &Path) -> Self {
        let mut before = Self::look(root);
        loop {
            thread::sleep(LOOK_EVERY);
            let now = Self::look(root);
            if now == before && now != *self {
                return now;
            }
            before = now;
        }
    }

    /// A file that differs between the two, to name the reason of a rebuild.
    pub(crate) fn first_difference<'a>(&'a self, other: &'a Self) -> Option<&'a Path> {
        let differs = |path: &&PathBuf| self.0.get(*path) != other.0.get(*path);
        let files = self.0.keys().chain(other.0.keys());
        files.filter(differs).find(|path| !path.is_dir()).map(PathBuf::as_path)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_changed_a_new_and_a_removed_file_are_each_noticed() {
        let root = std::env::temp_dir().join(format!("onepull-watch-{}", std::process::id()));
        folder::empty(&root.join("engine/src")).expect("a scratch folder");
        let (old, new) = (root.join("engine/src/lib.rs"), root.join("engine/src/pull.rs"));
        fs::write(&old, "").expect("a scratch file");
        let first = Sources::look(&root);
        assert_eq!(first, Sources::look(&root));
        assert_eq!(first.first_difference(&first), None);

        let file = fs::File::options().append(true).open(&old).expect("the file is there");
        file.set_modified(SystemTime::UNIX_EPOCH).expect("a settable time");
        let second = Sources::look(&root);
        assert_eq!(first.first_difference(&second), Some(old.as_path()));

        fs::write(&new, "").expect("a scratch file");
        let third = Sources::look(&root);
        assert_eq!(second.first_difference(&third), Some(new.as_path()));

        fs::remove_file(&old).expect("the file is there");
        let fourth = Sources::look(&root);
        assert_eq!(third.first_difference(&fourth), Some(old.as_path()));
        fs::remove_dir_all(root).expect("the scratch folder goes away");
    }
}
