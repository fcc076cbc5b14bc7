//! Sets up what the tests call beside cargo: the formatter, the linter, a browser with its driver, a PDF reader.

use std::process::Command;
use std::time::Duration;

use crate::debian;
use crate::failure::Failure;
use crate::process;
use crate::say;

/// Names that Chromium goes by.
const BROWSERS: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

/// A formatter and a linter are downloads of a few megabytes each.
const RUSTUP_LIMIT: Duration = Duration::from_secs(150);

/// Makes the formatter and the linter answer, asking rustup or apt for them when they do not.
pub(crate) fn set_up_lints() -> Result<(), Failure> {
    if lints_work() {
        return Ok(());
    }
    say::note("xtask: asking rustup for rustfmt and clippy, which the tidy test runs");
    let mut rustup = Command::new("rustup");
    rustup.args(["component", "add", "rustfmt", "clippy"]);
    let rustup = process::capture_within(&mut rustup, RUSTUP_LIMIT);
    if lints_work() {
        return Ok(());
    }
    let packages = ["rustfmt-web", "rust-web-clippy"];
    let apt = if debian::is_here() {
        debian::install(&packages, "the tidy test runs rustfmt and clippy")
    } else {
        Ok(())
    };
    if lints_work() {
        return Ok(());
    }
    let attempt = |outcome: Result<(), Failure>| match outcome {
        Ok(()) => "of no help".to_owned(),
        Err(failure) => failure.to_string(),
    };
    Err(Failure::Missing {
        what: "cargo fmt or cargo clippy",
        attempts: format!("rustup: {}; apt: {}", attempt(rustup.map(drop)), attempt(apt)),
        command: "rustup component add rustfmt clippy".to_owned(),
    })
}

/// Puts a browser, its driver and poppler's PDF readers on the search path, asking apt for what is missing.
pub(crate) fn set_up_browser() -> Result<(), Failure> {
    let missing = missing_packages();
    if missing.is_empty() {
        return Ok(());
    }
    let attempts = if debian::is_here() {
        match debian::install(&missing, "the tests drive the page in a browser and read its PDFs") {
            Ok(()) if missing_packages().is_empty() => return Ok(()),
            Ok(()) => "apt installed the packages, but not the programs in them".to_owned(),
            Err(failure) => failure.to_string(),
        }
    } else {
        "this is no Debian-like machine".to_owned()
    };
    Err(Failure::Missing {
        what: "Chromium, chromedriver or poppler",
        attempts,
        command: debian::by_hand(&missing),
    })
}

/// The Debian packages of the programs that are not on the search path.
fn missing_packages() -> Vec<&'static str> {
    let has = |program: &str| process::find(program).is_some();
    let mut missing = Vec::new();
    if !BROWSERS.iter().any(|browser| has(browser)) {
        missing.push("chromium");
    }
    if !has("chromedriver") {
        missing.push("chromium-driver");
    }
    if !(has("pdfinfo") && has("pdftocairo") && has("pdftotext")) {
        missing.push("poppler-utils");
    }
    missing
}

fn lints_work() -> bool {
    ["fmt", "clippy"].iter().all(|lint| process::works(process::cargo().args([lint, "--version"])))
}
