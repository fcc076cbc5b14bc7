//! Runs every test: what drives the page waits for the browser much of the time, and what needs no page computes meanwhile.

use std::env;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, ExitStatus};
use std::time::Instant;

use crate::failure::Failure;
use crate::parts::Parts;
use crate::process::{self, Kept};

/// Set on a machine that does nothing else, where the figures of speed that are asked for are held to as they are: nothing runs
/// beside anything there. `tests/src/pace.rs` knows it by the same name.
const QUIET: &str = "ONEPULL_QUIET";

/// How many of its last lines a part that failed says again at the very end: which tests, and how to run them again.
const LAST_LINES: usize = 15;

/// The one word for cargo that leaves it at all tests: go on after a target that failed.
const GO_ON: &str = "--no-fail-fast";

/// Whether the tests may run beside one another: all of them are wanted, and nobody asked for quiet.
pub(crate) fn may_share(arguments: &[String]) -> bool {
    arguments.iter().all(|word| word == GO_ON) && env::var_os(QUIET).is_none()
}

/// A part of the tests that was told, and how it ended.
#[derive(Debug)]
struct Ended {
    what: &'static str,
    words: PathBuf,
    status: ExitStatus,
    seconds: f64,
}

impl Ended {
    fn of(what: &'static str, status: ExitStatus, words: PathBuf, began: Instant) -> Self {
        Self { what, words, status, seconds: began.elapsed().as_secs_f64() }
    }
}

/// Runs every test, with the page's own beside all others; each part is told whole, one after the other.
///
/// `cargo_test` begins the command line that every part has in common, for the cargo that it is given. A part stops at the
/// first of its targets that fails, as cargo does unless `arguments` say otherwise; the other goes on, and is told too.
pub(crate) fn all(
    root: &Path,
    words: &Path,
    arguments: &[String],
    cargo_test: impl Fn(Command) -> Command,
    to: &mut impl io::Write,
) -> Result<ExitCode, Failure> {
    let parts = parts(root)?;
    fs::create_dir_all(words).map_err(Failure::file("create", words))?;
    let kept = |name: &str| words.join(format!("{name}.txt"));
    let (page, others, examples) = (kept("page"), kept("others"), kept("examples"));
    let note = format!(
        "xtask: the tests in a browser run beside all others; they are told after these, and as they go in {}\n",
        page.display()
    );
    say(to, &note);
    let began = Instant::now();
    let in_browser =
        Kept::start(cargo_test(process::cargo()).args(arguments).args(parts.of_the_page), &page)?;
    let mut cargo = cargo_test(process::cargo_that_yields());
    let beside = Kept::start(cargo.args(arguments).args(parts.others), &others)?;
    let mut ended = vec![Ended::of("the tests without a browser", beside.tell(to)?, others, began)];
    let goes_on = arguments.iter().any(|word| word == GO_ON);
    if goes_on || ended.iter().all(|part| part.status.success()) {
        let mut cargo = cargo_test(process::cargo_that_yields());
        let began = Instant::now();
        let beside = Kept::start(cargo.args(arguments).arg("--doc"), &examples)?;
        let what = "the examples in the documentation";
        ended.push(Ended::of(what, beside.tell(to)?, examples, began));
    }
    say(to, "\nxtask: the tests in a browser, from their beginning:\n");
    ended.push(Ended::of("the tests in a browser", in_browser.tell(to)?, page, began));
    say(to, &verdict(&ended));
    let failed = ended.iter().find(|part| !part.status.success());
    Ok(failed.map_or(ExitCode::SUCCESS, |part| process::code(part.status)))
}

/// Says something between the words of the parts: on the same way, so that it stays between them.
fn say(to: &mut impl io::Write, text: &str) {
    // A closed pipe is the reader's wish to hear no more, not a reason to stop the work.
    _ = to.write_all(text.as_bytes());
}

/// Which tests are in which part.
fn parts(root: &Path) -> Result<Parts, Failure> {
    let mut cargo = process::cargo();
    cargo.current_dir(root).args(["metadata", "--no-deps", "--format-version", "1"]);
    let metadata = process::capture(&mut cargo)?;
    Parts::of(&metadata).map_err(|error| Failure::Targets { reason: error.to_string() })
}

/// What is said last: how each part ended, and of one that failed its own last words again, because others were told since.
fn verdict(ended: &[Ended]) -> String {
    let mut said = String::new();
    for part in ended.iter().filter(|part| !part.status.success()) {
        let words = fs::read_to_string(&part.words).unwrap_or_default();
        let (what, file) = (part.what, part.words.display());
        said += &format!("\nxtask: {what} FAILED; all that they said is in {file}, and it ends:\n");
        said += &last_lines(&words);
    }
    said += "\n";
    for part in ended {
        let outcome = if part.status.success() { "passed" } else { "FAILED" };
        said += &format!("xtask: {outcome} after {:6.1} s: {}\n", part.seconds, part.what);
    }
    said
}

fn last_lines(words: &str) -> String {
    let lines: Vec<&str> = words.trim_end().lines().collect();
    let last = &lines[lines.len().saturating_sub(LAST_LINES)..];
    last.iter().map(|line| format!("    {line}\n")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Runs this script in place of cargo, with the words that cargo would be given; gives what was told, and the status.
    fn run(name: &str, arguments: &[String], script: &str) -> (String, String) {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        let words = env::temp_dir().join(format!("onepull-words-{}-{name}", std::process::id()));
        let in_place_of = |_| {
            let mut sh = Command::new("sh");
            sh.args(["-c", script, "sh"]);
            sh
        };
        let mut told = Vec::new();
        let code = all(&root, &words, arguments, in_place_of, &mut told).expect("it runs");
        fs::remove_dir_all(words).expect("it was there");
        let told = String::from_utf8(told).expect("text");
        let of_the_parts = |line: &&str| {
            !(line.is_empty() || line.starts_with("xtask: ") || line.starts_with(' '))
        };
        let told = told.lines().filter(of_the_parts).map(|line| format!("{line}\n")).collect();
        (told, format!("{code:?}"))
    }

    fn code(code: u8) -> String {
        format!("{:?}", ExitCode::from(code))
    }

    #[test]
    fn the_parts_are_told_whole_and_one_after_the_other_however_they_end() {
        let script = "case \"$*\" in
            --doc) echo example;;
            *--lib*) echo other 1; sleep 0.5; echo other 2;;
            *browser*) echo page 1; sleep 0.2; echo page 2;;
        esac";
        let whole = "other 1\nother 2\nexample\npage 1\npage 2\n";
        assert_eq!(run("well", &[], script), (whole.to_owned(), code(0)));
    }

    #[test]
    fn one_part_that_fails_is_enough_and_the_other_is_told_still() {
        let page = "case \"$*\" in --doc) echo example;; *--lib*) echo other;; *) echo page; exit 101;; esac";
        assert_eq!(run("page", &[], page), ("other\nexample\npage\n".to_owned(), code(101)));
        let others = "case \"$*\" in *--lib*) echo other; exit 101;; *) echo page;; esac";
        assert_eq!(run("others", &[], others), ("other\npage\n".to_owned(), code(101)));
        let go_on = [GO_ON.to_owned()];
        let all = "case \"$*\" in
            '--no-fail-fast --doc') echo example;;
            '--no-fail-fast '*--lib*) echo other; exit 101;;
            '--no-fail-fast '*) echo page;;
        esac";
        let whole = "other\nexample\npage\n".to_owned();
        assert_eq!(run("all", &go_on, all), (whole, code(101)));
        let doc = "case \"$*\" in --doc) exit 7;; *) echo tests;; esac";
        assert_eq!(run("doc", &[], doc), ("tests\ntests\n".to_owned(), code(7)));
    }

    #[test]
    fn the_last_words_say_what_failed_and_how_it_ended() {
        let words = env::temp_dir().join(format!("onepull-words-{}.txt", std::process::id()));
        let lines = (1..=40).map(|n| format!("line {n}\n")).collect::<String>();
        fs::write(&words, lines).expect("written");
        let ended = |what, script| {
            let status = Command::new("sh").args(["-c", script]).status().expect("runs");
            Ended { what, words: words.clone(), status, seconds: 2.0 }
        };
        let said = verdict(&[ended("these", "exit 1"), ended("those", "exit 0")]);
        fs::remove_file(&words).expect("it was there");
        assert!(said.contains("these FAILED") && !said.contains("those FAILED"), "{said}");
        assert!(said.contains("    line 40\n") && !said.contains("line 25\n"), "{said}");
        let last: Vec<&str> = said.lines().rev().take(2).collect();
        assert!(last[1].contains("FAILED") && last[1].ends_with("these"), "{said}");
        assert!(last[0].contains("passed") && last[0].ends_with("those"), "{said}");
    }

    #[test]
    fn words_of_ones_own_are_run_in_a_row() {
        let words = |line: &str| line.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        for line in ["--test tidy", "a_name", "--no-fail-fast --lib", "-- --nocapture"] {
            assert!(!may_share(&words(line)), "{line}");
        }
        for line in ["", GO_ON] {
            assert_eq!(may_share(&words(line)), env::var_os(QUIET).is_none(), "{line}");
        }
    }

    #[test]
    fn quiet_is_asked_for_by_the_name_that_the_tests_know() {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/src/pace.rs");
        assert!(fs::read_to_string(file).expect("text").contains(&format!("\"{QUIET}\"")));
    }
}
