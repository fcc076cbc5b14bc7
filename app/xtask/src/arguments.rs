//! Reads the command line of `cargo xtask`.

use crate::failure::Failure;

/// How to call each command; printed by `help` and after a command line that makes no sense.
pub const USAGE: &str = "\
cargo xtask serve [--release] [--port N] [--path /sub/]   build the page, serve it, rebuild when a source changes
cargo xtask build                                        build the page to publish into dist/
cargo xtask test [ARGUMENTS OF cargo test]               set up what the tests need, then run all of them";

/// One thing that `cargo xtask` can do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Build the page, serve it, and rebuild it on every change.
    Serve(ServeOptions),
    /// Build the page that is published.
    Build,
    /// Run every test; the arguments go to `cargo test` as they are.
    Test(Vec<String>),
    /// Say how to call the rest.
    Help,
}

/// What `serve` was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ServeOptions {
    /// Which of the two pages to build.
    pub profile: Profile,
    /// The first port to try.
    pub port: u16,
    /// The path that the page is served under; begins and ends with a slash.
    pub path: String,
}

/// How the page is compiled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Profile {
    /// Quick to build; without an offline copy, so that a reload always shows the newest page.
    Development,
    /// Small and fast, with its offline copy: what is published.
    Release,
}

/// The port that `serve` tries first unless told otherwise.
pub const DEFAULT_PORT: u16 = 8087;

impl Command {
    /// Reads the words after `cargo xtask`.
    ///
    /// # Errors
    ///
    /// [`Failure::Usage`] names the word that cannot be read and what was expected there.
    pub fn parse(words: impl IntoIterator<Item = String>) -> Result<Self, Failure> {
        let mut words = words.into_iter();
        let Some(command) = words.next() else {
            return Err(usage("no command given"));
        };
        match command.as_str() {
            "serve" => Ok(Self::Serve(ServeOptions::parse(words)?)),
            "build" => match words.next() {
                None => Ok(Self::Build),
                Some(word) => {
                    Err(usage(&format!("build takes no argument, but `{word}` was given")))
                }
            },
            "test" => Ok(Self::Test(words.collect())),
            "help" | "--help" | "-h" => Ok(Self::Help),
            other => Err(usage(&format!("there is no command `{other}`"))),
        }
    }
}

impl ServeOptions {
    fn parse(mut words: impl Iterator<Item = String>) -> Result<Self, Failure> {
        let mut options =
            Self { profile: Profile::Development, port: DEFAULT_PORT, path: "/".to_owned() };
        while let Some(word) = words.next() {
            match word.as_str() {
                "--release" => options.profile = Profile::Release,
                "--port" => options.port = port(words.next())?,
                "--path" => options.path = base_path(words.next())?,
                other => return Err(usage(&format!("serve knows no option `{other}`"))),
            }
        }
        Ok(options)
    }
}

fn port(word: Option<String>) -> Result<u16, Failure> {
    let word = word.ok_or_else(|| usage("--port needs a number after it, such as 8087"))?;
    match word.parse() {
        Ok(port) if port > 0 => Ok(port),
        _ => Err(usage(&format!("--port `{word}` is not a number from 1 to 65535"))),
    }
}

fn base_path(word: Option<String>) -> Result<String, Failure> {
    let word = word.ok_or_else(|| usage("--path needs a path after it, such as /sub/"))?;
    let names = word.trim_matches('/');
    let is_plain = |name: &str| {
        !name.is_empty()
            && !name.starts_with('.')
            && name.chars().all(|c| c.is_ascii_alphanumeric() || "-_.~".contains(c))
    };
    match names {
        "" => Ok("/".to_owned()),
        _ if names.split('/').all(is_plain) => Ok(format!("/{names}/")),
        _ => Err(usage(&format!(
            "--path `{word}` may hold only letters, digits and - _ . ~ between its slashes"
        ))),
    }
}

fn usage(problem: &str) -> Failure {
    Failure::Usage { problem: problem.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(line: &str) -> Result<Command, Failure> {
        Command::parse(line.split_whitespace().map(str::to_owned))
    }

    fn serve(line: &str) -> ServeOptions {
        match parse(line) {
            Ok(Command::Serve(options)) => options,
            other => panic!("{line}: {other:?}"),
        }
    }

    #[test]
    fn serve_alone_means_the_development_page_at_the_root() {
        let expected = ServeOptions {
            profile: Profile::Development,
            port: DEFAULT_PORT,
            path: "/".to_owned(),
        };
        assert_eq!(serve("serve"), expected);
    }

    #[test]
    fn every_option_of_serve_is_read_in_any_order() {
        let expected =
            ServeOptions { profile: Profile::Release, port: 9000, path: "/a/b/".to_owned() };
        assert_eq!(serve("serve --port 9000 --path a/b --release"), expected);
        assert_eq!(serve("serve --release --path /a/b/ --port 9000"), expected);
    }

    #[test]
    fn a_path_of_slashes_is_the_root() {
        assert_eq!(serve("serve --path /").path, "/");
    }

    #[test]
    fn test_hands_its_arguments_on_untouched() {
        let expected = ["--test", "tidy", "--", "--nocapture"].map(str::to_owned).to_vec();
        assert_eq!(
            parse("test --test tidy -- --nocapture").expect("readable"),
            Command::Test(expected)
        );
    }

    #[test]
    fn what_cannot_be_read_is_named_in_the_refusal() {
        for (line, named) in [
            ("", "no command"),
            ("bild", "`bild`"),
            ("build fast", "`fast`"),
            ("serve --fast", "`--fast`"),
            ("serve --port", "--port needs"),
            ("serve --port 0", "`0`"),
            ("serve --port 65536", "`65536`"),
            ("serve --path", "--path needs"),
            ("serve --path /../", "`/../`"),
            ("serve --path /a//b/", "`/a//b/`"),
            ("serve --path /a?b/", "`/a?b/`"),
        ] {
            let refusal = parse(line).expect_err(line).to_string();
            assert!(refusal.contains(named), "`{line}` was refused with `{refusal}`");
        }
    }
}
