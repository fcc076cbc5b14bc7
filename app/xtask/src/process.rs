//! Runs other programs and says clearly how they ended.

use std::env;
use std::path::PathBuf;
use std::process::{Child, Command, ExitCode, ExitStatus, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::failure::Failure;

/// Runs a program to its end with its output shown.
pub(crate) fn show(command: &mut Command) -> Result<(), Failure> {
    let status = command.status().map_err(|source| not_started(command, source))?;
    ended_well(words(command), status)
}

/// A program that runs beside what else is done, with its output shown; dropped before its end, it is stopped.
#[derive(Debug)]
pub(crate) struct Beside {
    command: String,
    child: Child,
}

impl Beside {
    /// Starts it.
    pub(crate) fn start(command: &mut Command) -> Result<Self, Failure> {
        let child = command.spawn().map_err(|source| not_started(command, source))?;
        Ok(Self { command: words(command), child })
    }

    /// Waits for its end, which must be a good one.
    pub(crate) fn end(mut self) -> Result<(), Failure> {
        let status = self
            .child
            .wait()
            .map_err(|source| Failure::NotStarted { command: self.command.clone(), source })?;
        ended_well(self.command.clone(), status)
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        // Either fails only when it has ended already.
        _ = self.child.kill();
        _ = self.child.wait();
    }
}

/// Runs a program to its end with its output shown, and passes its exit status on.
pub(crate) fn status(command: &mut Command) -> Result<ExitCode, Failure> {
    let status = command.status().map_err(|source| not_started(command, source))?;
    // A program that was killed by a signal has no code; 1 says that it did not end well.
    let code = status.code().and_then(|code| u8::try_from(code).ok()).unwrap_or(1);
    Ok(ExitCode::from(code))
}

/// Runs a program to its end and returns what it printed to standard output; what it printed is shown only when
/// it fails.
pub(crate) fn capture(command: &mut Command) -> Result<String, Failure> {
    command.stdin(Stdio::null());
    let output = command.output().map_err(|source| not_started(command, source))?;
    judged(command, &output)
}

/// Like [`capture`], but stops the program when it takes longer than `limit`.
pub(crate) fn capture_within(command: &mut Command, limit: Duration) -> Result<String, Failure> {
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().map_err(|source| not_started(command, source))?;
    let started = Instant::now();
    while matches!(child.try_wait(), Ok(None)) {
        if started.elapsed() > limit {
            // It may have ended by itself in the meantime, which is as good.
            _ = child.kill();
            _ = child.wait();
            return Err(Failure::TookTooLong { command: words(command), limit });
        }
        thread::sleep(Duration::from_millis(50));
    }
    let output = child.wait_with_output().map_err(|source| not_started(command, source))?;
    judged(command, &output)
}

/// Whether a program runs at all and ends well.
pub(crate) fn works(command: &mut Command) -> bool {
    capture(command).is_ok()
}

/// Where a program of this name stands on the search path.
pub(crate) fn find(program: &str) -> Option<PathBuf> {
    let folders = env::var_os("PATH")?;
    env::split_paths(&folders).map(|folder| folder.join(program)).find(|path| path.is_file())
}

/// The cargo that runs this xtask, or the one on the search path.
pub(crate) fn cargo() -> Command {
    Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

fn ended_well(command: String, status: ExitStatus) -> Result<(), Failure> {
    if status.success() {
        return Ok(());
    }
    Err(Failure::Ended { command, status, output: String::new() })
}

fn judged(command: &Command, output: &Output) -> Result<String, Failure> {
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    if output.status.success() {
        return Ok(printed);
    }
    let complaint = String::from_utf8_lossy(&output.stderr);
    Err(Failure::Ended {
        command: words(command),
        status: output.status,
        output: format!("{printed}{complaint}"),
    })
}

fn not_started(command: &Command, source: std::io::Error) -> Failure {
    Failure::NotStarted { command: words(command), source }
}

fn words(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    words.map(|word| word.to_string_lossy()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_program_that_says_no_is_quoted_with_what_it_printed() {
        let refusal = capture(Command::new("sh").args(["-c", "echo out; echo no >&2; exit 3"]))
            .expect_err("it said no");
        let words = refusal.to_string();
        for part in ["sh -c", "3", "out", "no"] {
            assert!(words.contains(part), "`{part}` is not in `{words}`");
        }
    }

    #[test]
    fn a_program_that_does_not_exist_is_named() {
        let refusal =
            capture(&mut Command::new("no-such-program-here")).expect_err("it does not exist");
        assert!(refusal.to_string().contains("no-such-program-here"));
    }

    #[test]
    fn a_program_that_hangs_is_stopped() {
        let limit = Duration::from_millis(100);
        let outcome = capture_within(Command::new("sleep").arg("60"), limit);
        assert!(matches!(outcome, Err(Failure::TookTooLong { .. })), "{outcome:?}");
    }

    #[test]
    fn a_program_beside_is_waited_for_and_judged_by_its_end() {
        let start =
            |script| Beside::start(Command::new("sh").args(["-c", script])).expect("starts");
        start("exit 0").end().expect("ended well");
        let refusal = start("sleep 0.1; exit 3").end().expect_err("it said no").to_string();
        assert!(refusal.contains("sh -c") && refusal.contains('3'), "{refusal}");
    }

    #[test]
    fn a_program_beside_that_is_dropped_is_stopped() {
        let beside = Beside::start(Command::new("sleep").arg("60")).expect("starts");
        let mut look = Command::new("kill");
        look.args(["-0", &beside.child.id().to_string()]).stderr(Stdio::null());
        assert!(works(&mut look), "it runs");
        drop(beside);
        assert!(!works(&mut look), "it runs on");
    }

    #[test]
    fn a_program_in_time_gives_its_output() {
        let outcome = capture_within(Command::new("echo").arg("here"), Duration::from_secs(20));
        assert_eq!(outcome.expect("echo works"), "here\n");
    }
}
