//! The headless program, built once, and what a run of it says.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::thread;

use serde_json::Value;

/// The program, built once.
///
/// It is asked for out of the whole workspace, with the features of this run: then it is the one that a run of every test
/// has built already. Asked for by the engine alone, cargo leaves features of other crates out and compiles the engine,
/// and most of what it stands on, a second time.
fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let mut build = Command::new(env!("CARGO"));
        build.args(["build", "--workspace", "--example", "headless"]);
        if cfg!(feature = "browser") {
            build.args(["--features", "onepull-tests/browser"]);
        }
        build.arg("--message-format=json").current_dir(env!("CARGO_MANIFEST_DIR"));
        let built = build.output().expect("cargo runs");
        assert!(built.status.success(), "{}", String::from_utf8_lossy(&built.stderr));
        let lines = String::from_utf8(built.stdout).expect("text");
        let messages = lines.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
        let mut programs = messages.filter_map(|message| {
            let is_it = message["target"]["name"] == "headless";
            message["executable"].as_str().filter(|_| is_it).map(PathBuf::from)
        });
        programs.next().expect("cargo says where it is")
    })
}

/// What a run has said.
#[derive(Debug)]
pub(crate) struct Said {
    pub(crate) status: i32,
    pub(crate) output: String,
    pub(crate) message: String,
}

pub(crate) fn run(arguments: &[&str], input: &[u8]) -> Said {
    let mut child = Command::new(program())
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    let mut to_child = child.stdin.take().expect("piped");
    let said = thread::scope(|scope| {
        scope.spawn(move || {
            // A program that has read enough closes its end.
            let _ = to_child.write_all(input);
        });
        child.wait_with_output().expect("ends")
    });
    Said {
        status: said.status.code().expect("ends by itself"),
        output: String::from_utf8(said.stdout).expect("text"),
        message: String::from_utf8(said.stderr).expect("text"),
    }
}

pub(crate) fn json(said: &Said) -> Value {
    serde_json::from_str(&said.output).unwrap_or_else(|error| panic!("{error}: {}", said.output))
}
