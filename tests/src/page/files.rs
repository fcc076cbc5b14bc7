//! Folders that a page needs on disk, and the files that it saves there.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use super::{Page, must};

/// A folder of its own under the system's temporary folder, removed when dropped.
#[derive(Debug)]
pub(super) struct Scratch(PathBuf);

impl Scratch {
    /// An empty folder that no other test uses.
    #[track_caller]
    pub(super) fn new(purpose: &str) -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("onepull-{purpose}-{}-{number}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        must(fs::create_dir_all(&folder), "create a scratch folder");
        Self(folder)
    }

    pub(super) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // A browser that is still ending may write a last file; the system's own clearing takes that.
        _ = fs::remove_dir_all(&self.0);
    }
}

impl Page {
    /// Waits for a download of this name to be complete and returns its bytes.
    #[track_caller]
    #[must_use]
    pub fn downloaded(&self, name: &str) -> Vec<u8> {
        let path = self.downloads.path().join(name);
        // The browser writes under another name and renames when it is done; before that it may keep the name with an empty
        // file.
        let whole = || fs::read(&path).ok().filter(|bytes| !bytes.is_empty());
        self.until(&format!("`{name}` is downloaded"), whole)
    }

    /// The names of all downloads that are whole.
    ///
    /// Chromium writes under a name of its own at first. Firefox writes beside an empty file of the final name, and before
    /// that has an empty one of a name by chance for a moment, to see whether the system would run it.
    #[must_use]
    pub fn download_names(&self) -> BTreeSet<String> {
        let folder = self.downloads.path();
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        let has_bytes = |name: &String| {
            fs::metadata(folder.join(name)).is_ok_and(|data| data.is_file() && data.len() > 0)
        };
        let is_whole = |name: &String| {
            let is_partial = name.ends_with(".crdownload") || name.ends_with(".part");
            !is_partial && !folder.join(format!("{name}.part")).exists() && has_bytes(name)
        };
        entries.filter_map(|entry| entry.file_name().into_string().ok()).filter(is_whole).collect()
    }

    /// Saves a picture of what the page shows, for a person to look at.
    #[track_caller]
    pub fn screenshot(&self, path: &Path) {
        must(self.wait(self.session().screenshot(path)), "take a screenshot");
    }
}
