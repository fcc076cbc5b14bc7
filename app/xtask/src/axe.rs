//! Fetches axe-core, which the browser test runs in the page to look for what keeps people out.
//!
//! It is under the Mozilla Public License 2.0 and is used as it is: it stays in the build folder, no file of the
//! repository holds it, and the page never does.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use crate::failure::Failure;
use crate::process;
use crate::say;

/// The one version that is run, so that a newer one cannot fail a change that has nothing to do with it.
const VERSION: &str = "4.14.1";

/// It is a download of some 600 kB.
const LIMIT: Duration = Duration::from_secs(60);

/// Where axe-core is: fetched before, or now with npm. `None` when it is not to be had here, and why is said.
///
/// # Errors
///
/// [`Failure::File`] when the build folder cannot be written.
pub(crate) fn find_or_fetch(folder: &Path) -> Result<Option<PathBuf>, Failure> {
    let folder = folder.join(format!("axe-core-{VERSION}"));
    let script = folder.join("package").join("axe.min.js");
    if script.is_file() {
        return Ok(Some(script));
    }
    fs::create_dir_all(&folder).map_err(Failure::file("create", &folder))?;
    match fetch(&folder) {
        Ok(()) if script.is_file() => Ok(Some(script)),
        Ok(()) => {
            say::note(&format!("xtask: axe-core {VERSION} came without {}", script.display()));
            Ok(None)
        }
        Err(failure) => {
            say::note(&format!(
                "xtask: axe-core could not be fetched with npm, so the page is held to our own checks of \
                 accessibility alone: {failure}"
            ));
            Ok(None)
        }
    }
}

/// npm checks what it fetches against the sum that its registry names; tar takes the one script out.
fn fetch(folder: &Path) -> Result<(), Failure> {
    say::note(&format!("xtask: fetching axe-core {VERSION} with npm: a test runs it in the page"));
    let mut npm = Command::new("npm");
    npm.current_dir(folder).args(["pack", "--silent", &format!("axe-core@{VERSION}")]);
    process::capture_within(&mut npm, LIMIT)?;
    let archive = format!("axe-core-{VERSION}.tgz");
    let mut tar = Command::new("tar");
    tar.current_dir(folder).args(["-xzf", &archive, "package/axe.min.js"]);
    process::capture(&mut tar).map(drop)
}
