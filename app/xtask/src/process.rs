//! Runs other programs and says clearly how they ended.

use std::env;
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitCode, ExitStatus, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::failure::Failure;

/// How often what a program has said in the meantime is passed on.
const TELL_EVERY: Duration = Duration::from_millis(100);

/// What `nice` calls a priority with a third of the weight of others: a browser has the processor when it wants it, and still no
/// test waits so long for its turn that it misses the seconds which it gives a hostile file.
const LOW_PRIORITY: &str = "5";

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

/// A program that runs beside what else is done and whose words go to a file, until it is their turn to be told.
#[derive(Debug)]
pub(crate) struct Kept {
    beside: Beside,
    words: File,
}

impl Kept {
    /// Starts it; what the file held before is gone.
    pub(crate) fn start(command: &mut Command, file: &Path) -> Result<Self, Failure> {
        let keep = File::create(file).map_err(Failure::file("write", file))?;
        // Both go into one file through one handle, so that they stand there in the order in which they were said.
        let also = keep.try_clone().map_err(Failure::file("write", file))?;
        command.stdin(Stdio::null()).stdout(keep).stderr(also);
        let beside = Beside::start(command)?;
        let words = File::open(file).map_err(Failure::file("read", file))?;
        Ok(Self { beside, words })
    }

    /// Tells all that it has said and goes on telling until it has ended; gives how it ended.
    pub(crate) fn tell(mut self, to: &mut impl io::Write) -> Result<ExitStatus, Failure> {
        loop {
            // Looked at before the file is read, or what is said in between would be lost.
            let ended = self.beside.child.try_wait();
            // A closed pipe is the reader's wish to hear no more, not a reason to stop the work.
            _ = io::copy(&mut self.words, to).and_then(|_| to.flush());
            match ended {
                Ok(None) => thread::sleep(TELL_EVERY),
                Ok(Some(status)) => return Ok(status),
                Err(source) => {
                    let command = self.beside.command.clone();
                    return Err(Failure::NotStarted { command, source });
                }
            }
        }
    }
}

/// Runs a program to its end with its output shown, and passes its exit status on.
pub(crate) fn status(command: &mut Command) -> Result<ExitCode, Failure> {
    command.status().map(code).map_err(|source| not_started(command, source))
}

/// The exit status to pass on. A program that was killed by a signal has none; 1 says that it did not end well.
pub(crate) fn code(status: ExitStatus) -> ExitCode {
    ExitCode::from(status.code().and_then(|code| u8::try_from(code).ok()).unwrap_or(1))
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

/// The same cargo, content with what others leave of the processor, where the machine lets one ask for that.
pub(crate) fn cargo_that_yields() -> Command {
    let cargo = cargo();
    let Some(nice) = find("nice") else { return cargo };
    let mut yields = Command::new(nice);
    yields.args(["-n", LOW_PRIORITY]).arg(cargo.get_program());
    yields
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

fn not_started(command: &Command, source: io::Error) -> Failure {
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

    /// Where a test keeps the words of a program.
    fn scratch(name: &str) -> PathBuf {
        env::temp_dir().join(format!("onepull-kept-{}-{name}", std::process::id()))
    }

    #[test]
    fn what_a_program_says_is_kept_and_told_whole_and_in_order_whenever_it_is_asked_for() {
        let file = scratch("order");
        let script = "echo one; echo two >&2; sleep 0.3; echo three; exit 4";
        for wait in [0, 600] {
            let mut command = Command::new("sh");
            let kept = Kept::start(command.args(["-c", script]), &file).expect("starts");
            thread::sleep(Duration::from_millis(wait));
            let mut told = Vec::new();
            let status = kept.tell(&mut told).expect("ends");
            assert_eq!(String::from_utf8(told).expect("text"), "one\ntwo\nthree\n");
            assert_eq!(status.code(), Some(4));
        }
        std::fs::remove_file(file).expect("it was there");
    }

    #[test]
    fn a_program_that_yields_has_a_low_priority_where_that_can_be_asked_for() {
        let yields = cargo_that_yields();
        let program = cargo().get_program().to_owned();
        if find("nice").is_none() {
            assert_eq!(yields.get_program(), program);
            return;
        }
        assert_eq!(yields.get_args().last(), Some(program.as_os_str()));
        if !works(&mut Command::new("nice")) {
            // One that does not tell what it was given.
            return;
        }
        // Without a command of its own `nice` says what it was given, on top of what this test has been given.
        let priority = |nice: &mut Command| -> i32 {
            capture(nice).expect("it runs").trim().parse().expect("a number")
        };
        let own = priority(&mut Command::new("nice"));
        let mut asks = Command::new(yields.get_program());
        let yielded = priority(asks.args(yields.get_args().take(2)).arg("nice"));
        // 19 is the least there is.
        assert!(yielded > own || own == 19, "{yielded} after {own}");
    }

    #[test]
    fn a_program_in_time_gives_its_output() {
        let outcome = capture_within(Command::new("echo").arg("here"), Duration::from_secs(20));
        assert_eq!(outcome.expect("echo works"), "here\n");
    }
}
