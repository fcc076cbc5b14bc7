//! What can go wrong in `cargo xtask`, as data first and words second.

use std::io;
use std::path::PathBuf;
use std::process::{ExitCode, ExitStatus};
use std::time::Duration;

use crate::arguments::USAGE;
use crate::say;

/// Why a command could not be carried out.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The command line makes no sense.
    #[error("{problem}\n\n{USAGE}")]
    Usage {
        /// What is wrong with it.
        problem: String,
    },
    /// xtask was called outside the repository.
    #[error("{} is not inside the Onepull repository: change into it and run again", .0.display())]
    OutsideRepository(PathBuf),
    /// A file or folder could not be read or written.
    #[error("cannot {doing} {}: {source}", path.display())]
    File {
        /// What was being done, as a verb: "read", "write".
        doing: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A program could not be started.
    #[error("cannot start `{command}`: {source}")]
    NotStarted {
        /// The command line.
        command: String,
        /// What the system said.
        source: io::Error,
    },
    /// A program ran and said no.
    #[error("`{command}` ended with {status}{}", indented(output))]
    Ended {
        /// The command line.
        command: String,
        /// How it ended.
        status: ExitStatus,
        /// What it printed, where that was not shown while it ran.
        output: String,
    },
    /// A program took longer than it may.
    #[error("`{command}` was stopped: it took longer than {} s", limit.as_secs())]
    TookTooLong {
        /// The command line.
        command: String,
        /// The time it was given.
        limit: Duration,
    },
    /// Something is missing that this machine gives us no way to install.
    #[error(
        "{what} is missing and could not be installed here ({attempts}).\nInstall it, then run again: {command}"
    )]
    Missing {
        /// What is missing.
        what: &'static str,
        /// What was tried, and what came of it.
        attempts: String,
        /// The command that a person can run.
        command: String,
    },
    /// Cargo's list of what there is to test makes no sense.
    #[error("cargo's list of targets (`cargo metadata`) cannot be read: {reason}")]
    Targets {
        /// What is wrong with it.
        reason: String,
    },
    /// The compiled module could not be given its JavaScript side.
    #[error("wasm-bindgen refused {}: {reason}", module.display())]
    Bindings {
        /// The module as cargo left it.
        module: PathBuf,
        /// What wasm-bindgen said.
        reason: String,
    },
    /// A bound module could not be packed for its way over a line.
    #[error("{} could not be packed: {reason}", module.display())]
    Packing {
        /// The module as it was bound.
        module: PathBuf,
        /// What is wrong with it.
        reason: String,
    },
    /// The service worker's template lacks a place to fill in.
    #[error("{} holds no {placeholder}, so the offline copy would be empty", template.display())]
    Placeholder {
        /// The template.
        template: PathBuf,
        /// The word that must stand in it.
        placeholder: &'static str,
    },
    /// The page has outgrown its ceiling.
    #[error(
        "{file} is {sent} bytes as it is sent, above the ceiling of {ceiling}: find what grew it, or raise the ceiling with a reason"
    )]
    TooBig {
        /// The file, within `dist`.
        file: String,
        /// Its size as a web server would send it.
        sent: usize,
        /// The size it may have.
        ceiling: usize,
    },
    /// No port was free to serve on.
    #[error(
        "ports {first} to {last} on 127.0.0.1 are all taken: {source}; choose another with --port"
    )]
    NoPort {
        /// The first port tried.
        first: u16,
        /// The last port tried.
        last: u16,
        /// What the system said of the last one.
        source: io::Error,
    },
}

impl Failure {
    /// A function that says which file was in the way, to be given to `map_err`.
    pub(crate) fn file(
        doing: &'static str,
        path: impl Into<PathBuf>,
    ) -> impl FnOnce(io::Error) -> Self {
        let path = path.into();
        move |source| Self::File { doing, path, source }
    }

    /// Tells the person what went wrong and gives the exit status that stands for it: 2 for a command line that
    /// makes no sense, 1 for everything else.
    pub fn report(&self) -> ExitCode {
        say::note(&format!("error: {self}"));
        ExitCode::from(if matches!(self, Self::Usage { .. }) { 2 } else { 1 })
    }
}

fn indented(output: &str) -> String {
    output.trim_end().lines().map(|line| format!("\n    {line}")).collect()
}
