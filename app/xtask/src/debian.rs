//! Installs packages on Debian and its kin.

use std::io::IsTerminal;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use crate::failure::Failure;
use crate::process;
use crate::say;

/// Whether this machine installs its packages with apt.
pub(crate) fn is_here() -> bool {
    Path::new("/usr/bin/apt-get").is_file()
}

/// Installs packages, saying which, why, and how long it took.
///
/// Nothing that is installed is removed to make room: apt refuses instead, and its words are in the failure.
pub(crate) fn install(packages: &[&str], why: &str) -> Result<(), Failure> {
    say::note(&format!("xtask: installing {} with apt: {why}", packages.join(" ")));
    let started = Instant::now();
    process::capture(apt().args(["update", "-qq"]))?;
    process::capture(
        apt()
            .args(["install", "-y", "-qq", "--no-install-recommends", "--no-remove"])
            .args(packages),
    )?;
    say::note(&format!("xtask: installed in {:.0} s", started.elapsed().as_secs_f64()));
    Ok(())
}

/// The command that a person would type to install packages.
pub(crate) fn by_hand(packages: &[&str]) -> String {
    format!("sudo apt-get install --no-install-recommends {}", packages.join(" "))
}

fn apt() -> Command {
    let mut words = vec!["env", "DEBIAN_FRONTEND=noninteractive", "apt-get"];
    if !is_root() {
        // Where nobody can type a password, sudo must fail instead of waiting for one.
        let sudo: &[&str] =
            if std::io::stdin().is_terminal() { &["sudo"] } else { &["sudo", "-n"] };
        words.splice(0..0, sudo.iter().copied());
    }
    let mut command = Command::new(words[0]);
    command.args(&words[1..]);
    command
}

fn is_root() -> bool {
    process::capture(Command::new("id").arg("-u")).is_ok_and(|user| user.trim() == "0")
}
