//! Sets up a second browser for the journeys, Firefox, with the program that drives it, geckodriver.
//!
//! Both are under the Mozilla Public License 2.0 and are run as they are: nothing of the page or of the tests links
//! them, and geckodriver is compiled into the build folder.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use crate::debian;
use crate::failure::Failure;
use crate::process;
use crate::say;

/// The one version that is compiled, so that a newer one cannot fail a change that has nothing to do with it.
const VERSION: &str = "0.37.1";

/// Names that Firefox goes by.
const BROWSERS: [&str; 2] = ["firefox", "firefox-esr"];

/// The Debian package of the browser.
const PACKAGE: &str = "firefox-esr";

/// A hundred and fifty small crates; a machine that is busy with other things takes some minutes.
const LIMIT: Duration = Duration::from_secs(600);

/// Where geckodriver is once Firefox is there too: found on the search path, compiled before, or now. `None` when either
/// is not to be had here, and why is said.
pub(crate) fn find_or_install(folder: &Path) -> Option<PathBuf> {
    match browser().and_then(|()| driver(folder)) {
        Ok(driver) => Some(driver),
        Err(failure) => {
            say::note(&format!(
                "xtask: LEFT OUT: the journeys in Firefox, which could not be set up here: {failure}"
            ));
            None
        }
    }
}

fn browser() -> Result<(), Failure> {
    let is_here = || BROWSERS.iter().any(|name| process::find(name).is_some());
    if is_here() {
        return Ok(());
    }
    let attempts = if debian::is_here() {
        match debian::install(&[PACKAGE], "the journeys are made in a second browser too") {
            Ok(()) if is_here() => return Ok(()),
            Ok(()) => "apt installed the package, but not the program in it".to_owned(),
            Err(failure) => failure.to_string(),
        }
    } else {
        "this is no Debian-like machine".to_owned()
    };
    Err(Failure::Missing { what: "Firefox", attempts, command: debian::by_hand(&[PACKAGE]) })
}

fn driver(folder: &Path) -> Result<PathBuf, Failure> {
    let program = "geckodriver";
    if let Some(found) = process::find(program) {
        return Ok(found);
    }
    let built = folder.join("bin").join(program);
    if built.is_file() {
        return Ok(built);
    }
    say::note(&format!(
        "xtask: compiling {program} {VERSION} with cargo: it drives Firefox for the tests (once, some minutes)"
    ));
    let mut cargo = process::cargo();
    // Unoptimised: it is compiled in a third of the time and waits for the browser anyway.
    cargo.args(["install", program, "--version", VERSION, "--locked", "--debug", "--no-track"]);
    cargo.arg("--root").arg(folder);
    process::capture_within(&mut quiet(cargo), LIMIT)?;
    Ok(built)
}

/// Without the settings of the cargo that runs this, which are for another package.
fn quiet(mut cargo: Command) -> Command {
    cargo.arg("--quiet").env_remove("CARGO_TARGET_DIR");
    cargo
}
