//! The command `cargo xtask`: reads the command line, carries it out, and passes the exit status on.

use std::process::ExitCode;

use xtask::arguments::Command;

fn main() -> ExitCode {
    let outcome = Command::parse(std::env::args().skip(1)).and_then(xtask::run);
    outcome.unwrap_or_else(|failure| failure.report())
}
