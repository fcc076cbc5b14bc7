//! Carries out the three commands.

use std::path::PathBuf;
use std::process::ExitCode;

use crate::arguments::{Command, Profile, ServeOptions, USAGE};
use crate::axe;
use crate::failure::Failure;
use crate::firefox;
use crate::page;
use crate::process::{self, Beside};
use crate::say;
use crate::server::Server;
use crate::size;
use crate::stages::Stages;
use crate::test_tools;
use crate::testing;
use crate::toolchain::Toolchain;
use crate::watch::Sources;
use crate::workspace::Workspace;

/// Cargo's setting of when it draws a bar, which only one cargo at a time can do in one terminal.
const PROGRESS: &str = "CARGO_TERM_PROGRESS_WHEN";

/// What can stand before a lone `--` and leaves the tests uncompiled, or makes no sense beside `--no-run`.
const COMPILES_NOTHING: [&str; 4] = ["--doc", "--help", "--no-run", "-h"];

/// How many ports after the first `serve` tries before it gives up.
const PORTS_TO_TRY: u16 = 20;

/// Carries out a command; `serve` returns only when it cannot begin.
///
/// # Errors
///
/// Any [`Failure`]; the page of last time is left as it was unless the new one was compiled.
pub fn run(command: Command) -> Result<ExitCode, Failure> {
    match command {
        Command::Help => {
            say::result(USAGE);
            Ok(ExitCode::SUCCESS)
        }
        Command::Build => build(&Workspace::find()?),
        Command::Serve(options) => serve(&Workspace::find()?, &options),
        Command::Test(arguments) => test(&Workspace::find()?, &arguments),
    }
}

fn build(workspace: &Workspace) -> Result<ExitCode, Failure> {
    let mut stages = Stages::default();
    let toolchain = set_up_toolchain(&mut stages)?;
    page::build(workspace, toolchain, Profile::Release, &mut stages)?;
    say::result(&size::table(&workspace.dist)?);
    Ok(ExitCode::SUCCESS)
}

fn serve(workspace: &Workspace, options: &ServeOptions) -> Result<ExitCode, Failure> {
    let mut stages = Stages::default();
    let toolchain = set_up_toolchain(&mut stages)?;
    let mut seen = Sources::look(&workspace.root);
    page::build(workspace, toolchain, options.profile, &mut stages)?;
    let last = options.port.saturating_add(PORTS_TO_TRY);
    let server = Server::start(&workspace.dist, &options.path, options.port..=last)?;
    say::result(&format!("Onepull is at {} (Ctrl+C ends it)", server.address()));
    loop {
        let changed = seen.wait_for_change(&workspace.root);
        if let Some(file) = seen.first_difference(&changed) {
            say::note(&format!("xtask: {} changed", file.display()));
        }
        seen = changed;
        match page::build(workspace, toolchain, options.profile, &mut Stages::default()) {
            Ok(()) => say::note("xtask: built; reload the page"),
            Err(failure) => {
                say::note(&format!("error: {failure}\nxtask: the page stays as it was"));
            }
        }
    }
}

fn test(workspace: &Workspace, arguments: &[String]) -> Result<ExitCode, Failure> {
    let mut stages = Stages::default();
    let toolchain = set_up_toolchain(&mut stages)?;
    stages.run("find the formatter and the linter", test_tools::set_up_lints)?;
    // What is fetched keeps a line busy and no processor, and the page's modules are each one long piece of work for one
    // core: the tests are compiled beside both.
    let compiling = compiles(arguments)
        .then(|| {
            say::note("xtask: compiling the tests beside what follows");
            let mut cargo = cargo_test(workspace, process::cargo());
            Beside::start(cargo.arg("--no-run").args(arguments).env(PROGRESS, "never"))
        })
        .transpose()?;
    stages.run("find the browser and the PDF reader", test_tools::set_up_browser)?;
    let axe = stages.run("find axe-core", || axe::find_or_fetch(&workspace.test_tools))?;
    let geckodriver =
        stages.run("find Firefox", || Ok(firefox::find_or_install(&workspace.test_tools)))?;
    page::build(workspace, toolchain, Profile::Release, &mut stages)?;
    say::result(&size::table(&workspace.dist)?);
    if let Some(compiling) = compiling {
        stages.run("compile the rest of the tests", || compiling.end())?;
    }
    say::note(&format!("xtask: ready for the tests:\n{}", stages.summary()));
    let dist = ("ONEPULL_DIST", workspace.dist.clone());
    let tools = [("ONEPULL_AXE", axe), ("ONEPULL_GECKODRIVER", geckodriver)];
    let found = tools.into_iter().filter_map(|(name, path)| Some((name, path?)));
    let places: Vec<(&str, PathBuf)> = std::iter::once(dist).chain(found).collect();
    let cargo_test = |cargo| {
        let mut cargo = cargo_test(workspace, cargo);
        cargo.envs(places.iter().map(|(name, path)| (name, path)));
        cargo
    };
    if testing::may_share(arguments) {
        let (root, words) = (&workspace.root, &workspace.test_words);
        return testing::all(root, words, arguments, cargo_test, &mut std::io::stdout().lock());
    }
    // What the runner says last is what this command says last, so its status is passed on without a word.
    process::status(cargo_test(process::cargo()).args(arguments))
}

/// The start of the command that compiles and runs the tests: one set of packages and features for all, so that nothing is
/// compiled twice.
fn cargo_test(workspace: &Workspace, mut cargo: std::process::Command) -> std::process::Command {
    cargo.current_dir(&workspace.root);
    cargo.args(["test", "--workspace", "--features", "onepull-tests/browser"]);
    cargo
}

/// Whether there are tests to compile when cargo is given these words.
fn compiles(arguments: &[String]) -> bool {
    let mut for_cargo = arguments.iter().take_while(|word| *word != "--");
    !for_cargo.any(|word| COMPILES_NOTHING.contains(&word.as_str()))
}

fn set_up_toolchain(stages: &mut Stages) -> Result<Toolchain, Failure> {
    let toolchain = stages.run("find a compiler for the browser", Toolchain::set_up)?;
    say::note(&format!("xtask: compiling with {}", toolchain.name()));
    Ok(toolchain)
}

#[cfg(test)]
mod tests {
    use super::compiles;

    #[test]
    fn the_tests_are_compiled_first_unless_cargo_is_asked_for_something_else() {
        let words = |line: &str| line.split(' ').map(str::to_owned).collect::<Vec<_>>();
        for line in ["--test tidy", "--lib a_name", "-- --doc", "--no-fail-fast -- --nocapture -h"]
        {
            assert!(compiles(&words(line)), "{line}");
        }
        assert!(compiles(&[]));
        for line in ["--doc", "--test tidy --no-run", "-h", "--help -- x"] {
            assert!(!compiles(&words(line)), "{line}");
        }
    }
}
